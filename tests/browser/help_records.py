"""One of everything about help on record, and where the page of each is."""

import datetime
from collections.abc import Iterator
from typing import Any

from outreach.bins import pausing
from outreach.bins.models import Handout
from outreach.coaching import helping, outcomes
from outreach.coaching.helping import Act, Asked, FromAuthority, Seen
from outreach.households.models import Participant
from outreach.workshops.models import Workshop
from tests.factories.coaching import make_local_rules


def make_help(season: Any, in_private: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """A problem with advice and a visit, an objection, a complaint, a pause, the rules of the town."""
    act = Act(by=season.by, at=season.at)
    person = Participant.objects.get(full_name="Philippa Ravensworth")
    told = {"household": person.household, "participant": person, "own_words": in_private}
    asked = helping.open_request(
        asked=Asked(came_by="phone", symptoms=("sour", "rats", "hot"), **told), act=act
    )
    helping.record_step(request=asked, kind="advice_said", on=season.on, words=in_private, act=act)
    seen = Seen(visited_on=season.on, visited_by="Bram Oyelaran", seen=in_private)
    helping.record_visit(request=asked, seen=seen, act=act)
    helping.open_request(
        asked=Asked(came_by="public_page", phone="555-555-0101", written_name=person.full_name), act=act
    )
    objected = helping.open_request(
        asked=Asked(came_by="phone", kind="objection", objector="landlord", **told), act=act
    )
    due_on = season.on + datetime.timedelta(days=9)
    complained = helping.open_complaint(
        asked=Asked(came_by="authority", kind="complaint", due_on=due_on, **told),
        case=FromAuthority(authority="County vector control", case_number="VC-7", received_on=season.on),
        act=act,
    )
    yield "local_rule", {"pk": make_local_rules(jurisdiction=season.jurisdiction, lot_line_feet=10).pk}
    for name in ("help_request", "help_household", "help_step", "help_visit", "help_close", "help_advice"):
        yield name, {"pk": asked.pk}
    yield "help_reopen", {"pk": asked.pk}
    yield "help_letter", {"pk": objected.pk}
    yield "complaint_report", {"pk": complained.pk}
    yield "help_outcome", {"token": outcomes.link_path(asked).rstrip("/").rpartition("/")[2]}
    yield from _about_bins(season, in_private)


def _about_bins(season: Any, in_private: str) -> Iterator[tuple[str, dict[str, Any]]]:
    given = Handout.objects.filter(note=in_private).first()
    paused = pausing.pause(
        household=given.household,
        from_on=season.ago(10),
        until_on=season.ago(5),
        known_from="help",
        act=pausing.Act(by=season.by, at=season.at),
        note=in_private,
    )
    yield "pause", {"pause_id": paused.pk}
    yield "pause_add", {"household_id": given.household_id}
    yield "household_sheet", {"pk": given.household_id}
    yield "handout_sheet", {"pk": given.pk}
    yield "workshop_sheets", {"pk": Workshop.objects.get(pk=given.workshop_id).pk}
