"""Who had a place at a workshop."""

from collections.abc import Iterable
from datetime import date

from django.db import models
from django.db.models import OuterRef, Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction
from outreach.workshops.models.bookings import Booking
from outreach.workshops.models.workshops import Workshop


class RegistrationQuerySet(models.QuerySet["Registration"]):
    def at(self, workshop: Workshop | OuterRef) -> "RegistrationQuerySet":
        return self.filter(workshop=workshop)  # type: ignore[misc]

    def at_any_of(self, workshop_ids: Iterable[int]) -> "RegistrationQuerySet":
        return self.filter(workshop__in=workshop_ids)

    def of_person(self, participant: Participant) -> "RegistrationQuerySet":
        return self.filter(participant=participant)

    def given_back(self) -> "RegistrationQuerySet":
        return self.filter(state=Registration.State.CANCELLED)

    def who_came(self) -> "RegistrationQuerySet":
        return self.filter(state__in=Registration.CAME)

    def booked(self) -> "RegistrationQuerySet":
        return self.filter(state=Registration.State.BOOKED)

    def waiting_or_booked(self) -> "RegistrationQuerySet":
        """Whoever is expected or waits; nobody who came or missed it."""
        return self.filter(state__in=(Registration.State.BOOKED, Registration.State.STANDBY))

    def on_standby(self) -> "RegistrationQuerySet":
        """Whoever waits for a place, the first in line first."""
        return self.filter(state=Registration.State.STANDBY).order_by("standby_place")

    def on_the_list(self) -> "RegistrationQuerySet":
        """Everyone but those who cancelled."""
        return self.exclude(state=Registration.State.CANCELLED)

    def holding_a_seat(self) -> "RegistrationQuerySet":
        return self.filter(state__in=Registration.HOLDS_A_SEAT)

    def in_order_of_arrival(self) -> "RegistrationQuerySet":
        return self.order_by("arrived_at", "pk")

    def from_outside_area(self) -> "RegistrationQuerySet":
        return self.filter(is_outside_area=True)

    def of_workshops_held_between(self, first_day: date, last_day: date) -> "RegistrationQuerySet":
        return self.filter(workshop__held_on__range=(first_day, last_day)).exclude(
            workshop__state=Workshop.State.CANCELLED
        )

    def at_workshops_of(self, jurisdiction: Jurisdiction) -> "RegistrationQuerySet":
        return self.filter(workshop__jurisdiction=jurisdiction)

    def by_residents_of(self, jurisdiction: Jurisdiction) -> "RegistrationQuerySet":
        return self.filter(counted_under__jurisdiction=jurisdiction)

    def of_booking(self, booking: Booking) -> "RegistrationQuerySet":
        return self.filter(booking=booking)

    def of_any_booking(self, bookings: Iterable[Booking]) -> "RegistrationQuerySet":
        return self.filter(booking__in=bookings)

    def counted_for(self, household: Household) -> "RegistrationQuerySet":
        return self.filter(counted_under=household)

    def with_people(self) -> "RegistrationQuerySet":
        """With what a roster prints of each, in one query."""
        return self.select_related("participant", "household__jurisdiction", "workshop__venue", "booking")


class Registration(models.Model):
    """One participant's place at one workshop."""

    class State(models.TextChoices):
        BOOKED = "booked", _("booked")
        STANDBY = "standby", _("standby")
        CANCELLED = "cancelled", _("cancelled")
        ATTENDED = "attended", _("attended")
        MISSED = "missed", _("missed")
        WALK_IN = "walk_in", _("walk-in")

    CAME = ("attended", "walk_in")
    HOLDS_A_SEAT = ("booked", "attended", "walk_in")

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="registrations")
    participant = models.ForeignKey(Participant, models.PROTECT, related_name="registrations")
    # As recorded; counted_under follows merges.
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.BOOKED)
    standby_place = models.PositiveIntegerField(null=True, blank=True)
    # The sign-up it came with; none for paper, the desk and the door.
    booking = models.ForeignKey(Booking, models.PROTECT, null=True, blank=True, related_name="registrations")
    registered_at = models.DateTimeField()
    arrived_at = models.DateTimeField(null=True, blank=True)
    waiver_initials = models.CharField(_("waiver initials"), max_length=20, blank=True)
    is_outside_area = models.BooleanField(_("lives outside the places served"), default=False)
    note = models.CharField(_("note"), max_length=300, blank=True)

    objects = RegistrationQuerySet.as_manager()

    class Meta:
        ordering = ["participant__name_key"]
        constraints = [
            models.UniqueConstraint(
                fields=["workshop", "participant"],
                name="registration_once",
                violation_error_message=_("This person is already on the list of the workshop."),
            ),
            models.UniqueConstraint(
                fields=["workshop", "standby_place"],
                condition=Q(state="standby"),
                name="registration_standby_in_order",
                violation_error_message=_("Someone else has that place on standby."),
            ),
            models.CheckConstraint(
                condition=~Q(state="standby") | Q(standby_place__isnull=False),
                name="registration_standby_has_a_place",
                violation_error_message=_("Give the place on standby."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.participant} at {self.workshop}"

    @property
    def came(self) -> bool:
        return self.state in self.CAME

    @property
    def is_lead(self) -> bool:
        """This person signed the others up."""
        return self.booking is not None and self.booking.lead_id == self.participant_id

    @property
    def party(self) -> int:
        """How many people this line of the roster stands for: whoever signed others up brings the unnamed."""
        return 1 + (self.booking.people_beyond if self.booking is not None and self.is_lead else 0)
