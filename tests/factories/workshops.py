"""Workshops and registrations, valid by default."""

import datetime

from outreach.workshops.models import Registration, Workshop
from tests.factories.households import make_participant
from tests.factories.places import make_venue

UTC = datetime.UTC


def make_workshop(**differences) -> Workshop:
    fields = {"held_on": datetime.date(2025, 5, 9)} | differences
    fields["venue"] = fields.get("venue") or make_venue()
    fields.setdefault("jurisdiction", fields["venue"].jurisdiction)
    return Workshop.objects.create(**fields)


def make_registration(**differences) -> Registration:
    fields = {"registered_at": datetime.datetime(2025, 5, 1, tzinfo=UTC)} | differences
    fields["workshop"] = fields.get("workshop") or make_workshop()
    fields["participant"] = fields.get("participant") or make_participant()
    fields.setdefault("household", fields["participant"].household)
    fields.setdefault("counted_under", fields["household"].counted_under)
    return Registration.objects.create(**fields)
