"""The demo's weigh-in of one spring, and the visits of one autumn: drawn from its records, with invented results."""

import csv
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

from django.db import transaction
from django.utils import timezone

from outreach.followup import site_check_figures, site_checking, weighed_weeks, weighing
from outreach.followup.amount_reader import AmountReader
from outreach.followup.models import SiteCheck, WeighIn, WeighInSeason
from outreach.followup.site_checking import Seen
from outreach.followup.weighed_weeks import WeekAsTyped
from outreach.followup.weighing import Act
from outreach.site.demo import scenario
from outreach.staff.models import StaffMember

WHEN_DRAWN = time(10)


@transaction.atomic
def weigh(*, by: StaffMember) -> WeighInSeason:
    """Draw, record who agreed, and type what they wrote; the rows of the fixture go to the drawn in their order."""
    plan = scenario.set_up()["weigh_in"]
    season = WeighInSeason(name=plan["name"], from_on=plan["from_on"], weeks=plan["weeks"])
    season.full_clean()
    season.save()
    act = _act(plan["drawn_on"], by)
    homes = weighing.draw_recruits(season=season, size=plan["drawn"], seed=plan["seed"], act=act)
    agreed = [home for home in homes if home.draw_place not in (*plan["declined"], *plan["no_reply"])]
    for home in homes:
        weighing.note_progress(weigh_in=home, changes=_reply(home, plan, agreed))
    _type_weeks(agreed, _act(season.until_on + timedelta(days=5), by))
    return season


@transaction.atomic
def visit(*, by: StaffMember) -> None:
    """Draw a list and record what was seen: mostly what the household had answered, as invented visits should."""
    plan = scenario.set_up()["site_checks"]
    made = site_checking.draw_list(
        name=plan["name"],
        jurisdiction=None,
        size=plan["drawn"],
        seed=plan["seed"],
        act=_act(plan["drawn_on"], by),
    )
    checks = list(SiteCheck.objects.of_list(made).select_related("household"))
    said = site_check_figures.SaidBefore.load({check.counted_under_id for check in checks})
    for number, check in enumerate(checks):
        on = plan["drawn_on"] + timedelta(days=3 + number % 5)
        had_said = said.by(check.counted_under_id, on)
        seen = Seen(outcome=_outcome(check, had_said, plan), on=on, by_name=plan["visitor"])
        site_checking.record_visit(check=check, seen=seen, act=_act(on, by))


def _act(on: date, by: StaffMember) -> Act:
    return Act(by=by, at=timezone.make_aware(datetime.combine(on, WHEN_DRAWN)))


def _reply(home: WeighIn, plan: dict[str, Any], agreed: list[WeighIn]) -> dict[str, Any]:
    if home in agreed:
        days = {"scale_out_on": plan["scales_out_on"], "scale_back_on": plan["scales_back_on"]}
        return {"reply": WeighIn.Reply.AGREED, "replied_on": plan["replied_on"], **days}
    declined = home.draw_place in plan["declined"]
    return {
        "reply": WeighIn.Reply.DECLINED if declined else WeighIn.Reply.NO_REPLY,
        "replied_on": plan["replied_on"] if declined else None,
    }


def _type_weeks(agreed: list[WeighIn], act: Act) -> None:
    amounts = AmountReader.load()
    for row in _written():
        typed = WeekAsTyped(
            week=int(row["week"]),
            material=row["material"],
            reported=row["reported"],
            weighed=row["weighed_kg"],
        )
        home = agreed[int(row["home"]) - 1]
        kept = weighed_weeks.record_week(weigh_in=home, typed=typed, amounts=amounts, act=act)
        if why := row["set_aside_because"]:
            weighed_weeks.settle(row=kept, counts=False, why=why, act=act)


def _written() -> Iterator[dict[str, str]]:
    with (scenario.FIXTURES / "weighing.csv").open(newline="", encoding="utf-8") as file:
        yield from csv.DictReader(file)


def _outcome(check: SiteCheck, had_said: str, plan: dict[str, Any]) -> str:
    for outcome in ("nobody_home", "not_found", "declined"):
        if check.place in plan[outcome]:
            return outcome
    expected = had_said == site_check_figures.COMPOSTING
    if had_said == site_check_figures.NO_ANSWER:
        expected = check.place % plan["silent_out_of"] != 0
    in_use = expected != (check.place in plan["otherwise"])
    return SiteCheck.Outcome.IN_USE if in_use else SiteCheck.Outcome.NOT_IN_USE
