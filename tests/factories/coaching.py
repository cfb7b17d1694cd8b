"""Help requests, complaints, steps, visits and local rules as bare rows, valid by default."""

import datetime
import itertools

from outreach.coaching.models import Complaint, HelpRequest, HelpStep, LocalRules, ReportedSymptom, Visit
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member

_numbers = itertools.count(1)
UTC = datetime.UTC
CAME_AT = datetime.datetime(2025, 6, 2, 18, tzinfo=UTC)
CAME_ON = datetime.date(2025, 6, 2)


def make_help_request(*, symptoms=(), **differences) -> HelpRequest:
    fields = {"came_by": "phone", "opened_at": CAME_AT, "due_on": CAME_ON + datetime.timedelta(days=5)}
    fields |= differences
    if "household" not in fields:
        fields["household"] = make_household()
    if fields["household"] is not None:
        fields.setdefault("counted_under", fields["household"].counted_under)
    if fields.get("state") in ("advised", "visited"):
        fields.setdefault("advised_on", CAME_ON)
    if fields.get("state") == "closed":
        fields = {"closed_at": CAME_AT, "outcome": "solved"} | fields
    made = HelpRequest.objects.create(**fields)
    for symptom in symptoms:
        ReportedSymptom.objects.create(help_request=made, symptom=symptom)
    return made


def make_complaint(**differences) -> Complaint:
    fields = {"authority": "County vector control", "case_number": f"VC-{next(_numbers)}"}
    fields |= {"received_on": CAME_ON} | differences
    fields["help_request"] = fields.get("help_request") or make_help_request(
        kind="complaint", came_by="authority"
    )
    return Complaint.objects.create(**fields)


def make_help_step(**differences) -> HelpStep:
    fields = {"kind": "call", "done_on": CAME_ON, "entered_at": CAME_AT} | differences
    fields["help_request"] = fields.get("help_request") or make_help_request()
    return HelpStep.objects.create(**fields)


def make_visit(**differences) -> Visit:
    fields = {
        "visited_on": CAME_ON,
        "visited_by": "Odile",
        "seen": "wet",
        "entered_at": CAME_AT,
    } | differences
    fields["help_request"] = fields.get("help_request") or make_help_request()
    fields["entered_by"] = fields.get("entered_by") or make_member()
    return Visit.objects.create(**fields)


def make_local_rules(**differences) -> LocalRules:
    fields = {"source": "Town code 8.12", "checked_on": datetime.date(2025, 1, 15)} | differences
    fields["jurisdiction"] = fields.get("jurisdiction") or make_jurisdiction()
    return LocalRules.objects.create(**fields)
