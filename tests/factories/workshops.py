"""Workshops and registrations, valid by default."""

import datetime

from outreach.workshops.models import Booking, Registration, WaiverText, Workshop
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


def make_booking(**differences) -> Booking:
    """A sign-up of one person, who is on the list with it."""
    fields = {"made_at": datetime.datetime(2025, 5, 1, tzinfo=UTC), "email": "ada@example.org"} | differences
    state = fields.setdefault("state", "booked")
    fields["workshop"] = fields.get("workshop") or make_workshop()
    fields["lead"] = fields.get("lead") or make_participant()
    fields.setdefault("typed_name", fields["lead"].full_name)
    fields.setdefault("household", fields["lead"].household)
    fields.setdefault("counted_under", fields["household"].counted_under)
    fields.setdefault("reach_by", "email" if fields["email"] else "letter")
    fields.setdefault("reach_by", "email" if fields["email"] else "letter")
    booking = Booking.objects.create(**fields)
    make_registration(
        workshop=booking.workshop,
        participant=booking.lead,
        booking=booking,
        state=state,
        standby_place=booking.standby_place,
    )
    return booking


def make_waiver_text(**differences) -> WaiverText:
    fields = {
        "version": 1,
        "language": "en",
        "body": "I take part at my own risk.",
        "entered_at": datetime.datetime(2025, 5, 1, tzinfo=UTC),
    }
    return WaiverText.objects.create(**fields | differences)
