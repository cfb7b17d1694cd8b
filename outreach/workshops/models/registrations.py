"""Who had a place at a workshop."""

from collections.abc import Iterable
from datetime import date

from django.db import models
from django.db.models import Case, F, IntegerField, OuterRef, Q, Sum, When
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import within
from outreach.workshops.models.bookings import Booking
from outreach.workshops.models.workshops import Workshop

CAME = ("attended", "walk_in")
# Whoever comes with more is counted as a crowd. As at the Door; common practice, no source.
MOST_ALONG = 99
# Those who come along with the person of a line and have none of their own: as they were signed up until the
# person comes, then as many as came.
ALONG = Case(
    When(state__in=CAME, then=F("came_with")),
    When(booking__lead=F("participant"), then=F("booking__people_beyond")),
    default=0,
    output_field=IntegerField(),
)


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

    def people(self) -> int:
        """How many people these lines stand for: whoever is named, and those who come along."""
        return self.order_by().aggregate(people=Sum(1 + ALONG))["people"] or 0

    def people_at_each(self) -> "models.QuerySet[Registration, dict[str, int]]":
        """The same for each workshop, as a query of one number."""
        return self.order_by().values("workshop").annotate(heads=Sum(1 + ALONG)).values("heads")

    def along(self) -> int:
        """How many came along with these and are on no list."""
        return self.who_came().order_by().aggregate(along=Sum("came_with"))["along"] or 0

    def as_on_paper(self) -> "RegistrationQuerySet":
        """Everyone on the list by name, then whoever stands by, in order."""
        waits = Case(When(state=Registration.State.STANDBY, then=F("standby_place")), default=0)
        return self.on_the_list().order_by(waits, "participant__name_key", "pk")

    def on_a_line(self) -> "RegistrationQuerySet":
        """Whoever wrote themselves down on a blank line of the printed sheet."""
        return self.filter(sheet_line__isnull=False)

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

    CAME = CAME
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
    # As counted where they arrived; until then the booking says whom they bring.
    came_with = models.PositiveSmallIntegerField(_("came along, not named"), default=0)
    # The blank line of the printed sheet on which a walk-in wrote themselves down.
    sheet_line = models.PositiveSmallIntegerField(null=True, blank=True)
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
            within(
                "came_with",
                0,
                MOST_ALONG,
                name="registration_brings_few",
                sentence=_(
                    "At most 99 people come along with one. Count larger groups as people on no list."
                ),
            ),
            models.UniqueConstraint(
                fields=["workshop", "sheet_line"],
                condition=Q(sheet_line__isnull=False),
                name="registration_one_line_one_person",
                violation_error_message=_("Someone else wrote themselves down on that line of the sheet."),
            ),
            models.CheckConstraint(
                condition=Q(came_with=0) | Q(state__in=CAME),
                name="registration_brings_by_coming",
                violation_error_message=_("Nobody comes along with a person who did not come."),
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
    def brings(self) -> int:
        """How many people without a line were to come along: those of whoever signed them up."""
        return self.booking.people_beyond if self.booking is not None and self.is_lead else 0

    @property
    def along(self) -> int:
        """How many without a line are expected with this person, or came with them."""
        return self.came_with if self.came else self.brings

    @property
    def people(self) -> int:
        """How many people this line of the roster stands for."""
        return 1 + self.along
