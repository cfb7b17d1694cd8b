"""Waves and answers as bare rows, valid by default."""

import datetime

from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup.models import Answer, Wave
from tests.factories.households import make_household

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
