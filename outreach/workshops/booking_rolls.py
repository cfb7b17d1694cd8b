"""The bookings of a workshop as the office reads them: by household, with what waits for an answer."""

from collections import defaultdict
from dataclasses import dataclass

from outreach.workshops import sayings
from outreach.workshops.models import Booking, Offer, Registration, Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingLine:
    """One booking, its open offer, and the other bookings of its household that could be joined with it."""

    booking: Booking
    offer: Offer | None
    others: tuple[Booking, ...]
    reach: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StandbyLine:
    """One person on standby whom the office or a sheet put there, and the open offer to them."""

    registration: Registration
    offer: Offer | None


@dataclass(frozen=True, slots=True, kw_only=True)
class BookingRoll:
    """Everything on the page of bookings."""

    lines: tuple[BookingLine, ...]
    standby: tuple[StandbyLine, ...]
    gone: tuple[Booking, ...]

    @property
    def twice(self) -> int:
        """Households with more than one booking."""
        return len({line.booking.counted_under_id for line in self.lines if line.others})


def roll_of(workshop: Workshop) -> BookingRoll:
    """Bookings of one household stand beside each other; a fixed number of queries."""
    bookings = list(Booking.objects.at(workshop).with_people().in_order())
    standing = [booking for booking in bookings if booking.stands]
    offers = list(Offer.objects.at(workshop).open().with_people())
    to_bookings = {offer.booking_id: offer for offer in offers if offer.booking_id}
    to_people = {offer.registration_id: offer for offer in offers if offer.registration_id}
    households: dict[int, list[Booking]] = defaultdict(list)
    for booking in standing:
        households[booking.counted_under_id].append(booking)
    return BookingRoll(
        lines=tuple(
            BookingLine(
                booking=booking,
                offer=to_bookings.get(booking.pk),
                others=tuple(other for other in together if other.pk != booking.pk),
                reach=sayings.reach(booking),
            )
            for together in households.values()
            for booking in together
        ),
        standby=tuple(
            StandbyLine(registration=one, offer=to_people.get(one.pk)) for one in _alone(workshop, standing)
        ),
        gone=tuple(booking for booking in bookings if not booking.stands),
    )


def _alone(workshop: Workshop, standing: list[Booking]) -> list[Registration]:
    covered = {booking.pk for booking in standing}
    waiting = Registration.objects.at(workshop).on_standby().with_people()
    return [one for one in waiting if one.booking_id not in covered]
