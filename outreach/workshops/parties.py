"""Who stands by together: the people of one booking, or one person whom the office put on standby."""

from dataclasses import dataclass

from outreach.workshops.models import Booking, Offer, Registration, Workshop

State = Registration.State


@dataclass(frozen=True, slots=True, kw_only=True)
class Party:
    """People who wait for places together and get all of them or none."""

    place: int
    booking: Booking | None
    registrations: tuple[Registration, ...]

    @property
    def places(self) -> int:
        return len(self.registrations) + (self.booking.people_beyond if self.booking else 0)

    @property
    def speaker(self) -> Booking | Registration:
        """Whom an offer is made to."""
        return self.booking or self.registrations[0]

    @property
    def can_answer(self) -> bool:
        """They can be asked in time: by e-mail or on the phone."""
        if self.booking is not None:
            return self.booking.reach_by != Booking.ReachBy.LETTER
        person = self.registrations[0].participant
        return bool(person.email or person.phone)


def waiting(workshop: Workshop) -> list[Party]:
    """Everyone on standby without an open offer, the first in line first."""
    asked = set(Offer.objects.at(workshop).open().values_list("booking", "registration"))
    standing_by = list(Registration.objects.at(workshop).on_standby().with_people())
    bookings = list(Booking.objects.at(workshop).on_standby())
    together = {booking.pk for booking in bookings}
    parties = [_of_booking(booking, standing_by) for booking in bookings]
    parties += [_alone(one) for one in standing_by if one.booking_id not in together]
    return sorted((one for one in parties if _asked_key(one) not in asked), key=lambda one: one.place)


def party_of(speaker: Booking | Registration) -> Party:
    """The people for whom a booking, or a person, speaks."""
    if isinstance(speaker, Registration):
        return _alone(speaker)
    return _of_booking(speaker, list(Registration.objects.of_booking(speaker).on_standby().with_people()))


def _of_booking(booking: Booking, standing_by: list[Registration]) -> Party:
    own = tuple(one for one in standing_by if one.booking_id == booking.pk)
    return Party(place=booking.standby_place or 0, booking=booking, registrations=own)


def _alone(registration: Registration) -> Party:
    return Party(place=registration.standby_place or 0, booking=None, registrations=(registration,))


def _asked_key(party: Party) -> tuple[int | None, int | None]:
    if party.booking is not None:
        return party.booking.pk, None
    return None, party.registrations[0].pk
