"""A workshop that takes sign-ups, with one booked, one on standby who is offered a place, and two of a household."""

import datetime
from collections.abc import Iterator
from typing import Any

from outreach.workshops import giving_back, planning, recipients, staff_feeds
from outreach.workshops.models import Booking, Offer, Workshop
from tests.factories.workshops import make_waiver_text
from tests.workshops.sign_ups import sign_up

Yielded = Iterator[tuple[str, dict[str, Any]]]


def sign_ups(season: Any, venue: Any) -> Yielded:
    """The arguments of each page of sign-up; whoever signed up is reached by letter, so no page names a contact."""
    workshop = _public(season, venue)
    make_waiver_text()
    first, second, gone, waiting = (
        _sign_up(workshop, season, street=street, names=(name,))
        for street, name in (
            ("41 Bellweather Crescent", "Isolde Quarrington"),
            ("41 Bellweather Crescent", "Tobias Quarrington"),
            ("43 Bellweather Crescent", "Wendeline Ashgrove"),
            ("45 Bellweather Crescent", "Leander Foxcombe"),
        )
    )
    Booking.objects.filter(pk=waiting.pk).update(reach_by="email", email="leander@example.org")
    giving_back.give_back(booking=gone, because="themselves", at=season.at)
    Booking.objects.filter(pk=waiting.pk).update(reach_by="letter", email="")
    here = {"workshop_id": workshop.pk}
    pages = ("public_workshop", "workshop_calendar", "sign_up", "workshop_bookings", "workshop_postpone")
    paper = ("workshop_print", "workshop_sheet", "workshop_waiver", "workshop_labels", "workshop_flyer")
    for name in (*pages, *paper, "type_sign_ins"):
        yield name, here
    yield "booking_join", {"booking_id": first.pk, "other_id": second.pk}
    token = recipients.booking_path(first).split("/")[-2]
    for name in ("my_booking", "my_booking_change"):
        yield name, {"token": token}
    yield "my_booking_step", {"token": token, "step": "confirm"}
    offer = Offer.objects.get()
    yield "my_offer", {"token": recipients.offer_path(offer).split("/")[-2]}
    yield "booking_step", {"booking_id": first.pk, "step": "confirm"}
    yield "offer_answer", {"offer_id": offer.pk, "answer": "yes"}
    yield "staff_calendar", {"token": staff_feeds.token_of(season.by)}
    yield "owe_bin", {"household_id": first.household_id, "workshop_id": workshop.pk}


def _public(season: Any, venue: Any) -> Workshop:
    day = season.on + datetime.timedelta(days=12)
    workshop = Workshop(
        venue=venue,
        jurisdiction=season.jurisdiction,
        held_on=day,
        starts_at_time=datetime.time(10),
        ends_at_time=datetime.time(11, 30),
        seats=3,
        bins_planned=2,
        is_public=True,
        confirm_by_on=day - datetime.timedelta(days=3),
        bring="A bag of kitchen scraps from one day.",
        accessibility="A step-free way in from the lane.",
    )
    return planning.add(workshop=workshop, by=season.by, at=season.at)


def _sign_up(workshop: Workshop, season: Any, **who: Any) -> Booking:
    return sign_up(workshop, at=season.at, email="", reach_by="letter", **who)
