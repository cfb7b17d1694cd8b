"""A season of weighing and a list of households to visit on record, and where the page of each is."""

from collections.abc import Iterator
from typing import Any

from outreach.bins.models import Handout
from outreach.followup import site_checking, weighed_weeks, weighing
from outreach.followup.amount_reader import AmountReader
from outreach.followup.models import SiteCheck, WeighIn, WeighInSeason
from outreach.followup.site_checking import Seen
from outreach.followup.weighed_weeks import WeekAsTyped
from outreach.followup.weighing import Act


def make_weighing(season: Any, in_private: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """A drawn home and a volunteer; one week that counts and one that is doubtful."""
    act = Act(by=season.by, at=season.at)
    weighs = WeighInSeason.objects.create(name="Spring weighing", from_on=season.ago(20), weeks=4)
    volunteer = Handout.objects.get(note=in_private).household
    weighing.add_volunteer(season=weighs, household=volunteer, act=act)
    weighing.draw_recruits(season=weighs, size=1, seed=7, act=act)
    home = WeighIn.objects.of_season(weighs).drawn().get()
    weighing.note_progress(
        weigh_in=home, changes={"reply": "agreed", "replied_on": season.on, "note": in_private}
    )
    amounts = AmountReader.load()
    for week, weighed in ((1, "3.1"), (2, "31")):
        typed = WeekAsTyped(week=week, material="food", reported="10 L", weighed=weighed)
        row = weighed_weeks.record_week(weigh_in=home, typed=typed, amounts=amounts, act=act)
    for name in ("weigh_in_season", "weigh_in_season_edit", "weigh_in_draw", "weigh_in_volunteer"):
        yield name, {"season_id": weighs.pk}
    yield "weigh_in_sheets", {"season_id": weighs.pk}
    for name in ("weigh_in", "weigh_in_progress", "weigh_in_sheet"):
        yield name, {"weigh_in_id": home.pk}
    yield "weighed_week_settle", {"week_id": row.pk}


def make_visits(season: Any, in_private: str) -> Iterator[tuple[str, dict[str, Any]]]:
    """A list of one household that was visited, and a check outside any list."""
    act = Act(by=season.by, at=season.at)
    listed = site_checking.draw_list(name="Spring visits", jurisdiction=None, size=1, seed=7, act=act)
    check = SiteCheck.objects.get(list=listed)
    seen = Seen(outcome="in_use", on=season.on, by_name="Bram Oyelaran", note=in_private)
    site_checking.record_visit(check=check, seen=seen, act=act)
    site_checking.record_outside_a_draw(household=check.household, seen=seen, act=act)
    yield "site_check", {"check_id": check.pk}
    yield "site_check_add", {"household_id": check.household_id}
    for name in ("site_check_list", "site_check_route"):
        yield name, {"list_id": listed.pk}
