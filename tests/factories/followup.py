"""Waves and answers as bare rows, valid by default."""

import datetime

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup.models import (
    Answer,
    Invitation,
    SiteCheck,
    SiteCheckList,
    Wave,
    WeighedWeek,
    WeighIn,
    WeighInSeason,
)
from tests.factories.households import make_household
from tests.factories.staff import make_member

UTC = datetime.UTC


def make_wave(**differences) -> Wave:
    fields = {"months_after": 6} | differences
    fields.setdefault("name", f"{fields['months_after']} months")
    return Wave.objects.get_or_create(months_after=fields["months_after"], defaults=fields)[0]


def make_answer(**differences) -> Answer:
    fields = {
        "answered_on": datetime.date(2025, 11, 9),
        "composting": "yes",
        "channel": "paper",
        "food_ml_per_week": 4000,
        "entered_at": datetime.datetime(2025, 11, 10, tzinfo=UTC),
        "in_force_until_day": NO_END_DAY,
    } | differences
    if fields["composting"] == "stopped":
        fields |= {"food_ml_per_week": 0, "yard_ml_per_week": 0}
    fields.setdefault("received_on", fields["answered_on"])
    fields.setdefault("in_force_from_day", fields["answered_on"].toordinal())
    fields["household"] = fields.get("household") or make_household()
    fields.setdefault("counted_under", fields["household"].counted_under)
    return Answer.objects.create(**fields)


def make_weigh_in_season(**differences) -> WeighInSeason:
    fields = {"name": "Spring weighing", "from_on": datetime.date(2026, 3, 2), "weeks": 4} | differences
    if fields.get("seed") is not None:
        fields = {"drawn_from": 100, "drawn_at": datetime.datetime(2026, 3, 1, tzinfo=UTC)} | fields
    return WeighInSeason.objects.get_or_create(name=fields.pop("name"), defaults=fields)[0]


def make_weigh_in(**differences) -> WeighIn:
    fields = {"reply": "agreed"} | differences
    fields["season"] = fields.get("season") or make_weigh_in_season()
    fields["household"] = fields.get("household") or make_household()
    fields.setdefault("counted_under", fields["household"].counted_under)
    return WeighIn.objects.create(**fields)


def make_weighed_week(**differences) -> WeighedWeek:
    fields = {
        "week": 1,
        "material": "food",
        "reported_as_written": "10 L",
        "reported_ml": 10_000,
        "weighed_g": 3_100,
        "entered_at": datetime.datetime(2026, 3, 9, tzinfo=UTC),
    } | differences
    fields["weigh_in"] = fields.get("weigh_in") or make_weigh_in()
    fields["entered_by"] = fields.get("entered_by") or make_member()
    return WeighedWeek.objects.create(**fields)


def make_site_check_list(**differences) -> SiteCheckList:
    fields = {
        "name": "Spring visits",
        "size": 3,
        "seed": 7,
        "drawn_on": datetime.date(2026, 3, 1),
        "drawn_from": 30,
        "drawn_at": datetime.datetime(2026, 3, 1, tzinfo=UTC),
    } | differences
    return SiteCheckList.objects.get_or_create(name=fields.pop("name"), defaults=fields)[0]


def make_site_check(**differences) -> SiteCheck:
    fields = {"outcome": "in_use"} | differences
    if fields["outcome"] != "to_visit":
        fields = {"checked_on": datetime.date(2026, 3, 10), "seen_by": "Wren Albury"} | fields
    fields["household"] = fields.get("household") or make_household()
    fields.setdefault("counted_under", fields["household"].counted_under)
    return SiteCheck.objects.create(**fields)


def make_invitation(**differences) -> Invitation:
    fields = {
        "opened_at": datetime.datetime(2025, 11, 9, 18, tzinfo=UTC),
        "channel": "email",
    } | differences
    fields.setdefault("opened_on", fields["opened_at"].date())
    fields.setdefault("last_asked_at", fields["opened_at"])
    fields.setdefault("closes_on", fields["opened_on"] + datetime.timedelta(days=42))
    fields["wave"] = fields.get("wave") or make_wave()
    fields["household"] = fields.get("household") or make_household()
    fields.setdefault("counted_under", fields["household"].counted_under)
    return Invitation.objects.create(**fields)
