"""Workshops and who had a place at them."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.db import models
from django.db.models import Count, F, OuterRef, Q, Subquery
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction, Venue
from outreach.staff.constraints import not_before


class WorkshopQuerySet(models.QuerySet["Workshop"]):
    def held_between(self, first_day: date, last_day: date) -> "WorkshopQuerySet":
        return self.filter(held_on__range=(first_day, last_day)).exclude(state=Workshop.State.CANCELLED)

    def held_before(self, on: date) -> "WorkshopQuerySet":
        return self.filter(held_on__lt=on).exclude(state=Workshop.State.CANCELLED)

    def coming(self, on: date) -> "WorkshopQuerySet":
        return self.filter(held_on__gte=on).exclude(state=Workshop.State.CANCELLED).order_by("held_on")

    def took_place(self) -> "WorkshopQuerySet":
        return self.filter(state__in=(Workshop.State.HELD, Workshop.State.CLOSED))

    def not_closed(self) -> "WorkshopQuerySet":
        return self.exclude(state__in=(Workshop.State.CLOSED, Workshop.State.CANCELLED))

    def planned(self) -> "WorkshopQuerySet":
        return self.filter(state=Workshop.State.PLANNED)

    def of_ids(self, ids: Iterable[int]) -> "WorkshopQuerySet":
        return self.filter(pk__in=ids)

    def of_jurisdiction(self, jurisdiction: Jurisdiction) -> "WorkshopQuerySet":
        return self.filter(jurisdiction=jurisdiction)

    def on_day_at(self, held_on: date, venue: Venue) -> "WorkshopQuerySet":
        """Those of one day at one venue; there may be two, a morning and an afternoon."""
        return self.filter(held_on=held_on, venue=venue)

    def with_seated(self) -> "WorkshopQuerySet":
        """Each with `seated`: how many people hold a place, counted from its list."""
        return self.annotate(seated=_seated())

    def recount(self) -> int:
        """Write down how many people hold a place at each, in one statement."""
        return self.update(booked_people=_seated())

    def with_names(self) -> "WorkshopQuerySet":
        """With the names of venue and jurisdiction at hand."""
        return self.select_related("venue", "jurisdiction")

    def with_people(self) -> "WorkshopQuerySet":
        """Each with `people_on_list`, `people_came` and `people_standby`, and its venue at hand."""
        here = Registration.objects.filter(workshop=OuterRef("pk"))
        return self.with_names().annotate(
            people_on_list=_count_of(here.on_the_list()),
            people_came=_count_of(here.who_came()),
            people_standby=_count_of(here.on_standby()),
        )


def _seated() -> Coalesce:
    return _count_of(Registration.objects.filter(workshop=OuterRef("pk")).holding_a_seat())


def _count_of(rows: models.QuerySet[Any]) -> Coalesce:
    """How many rows a correlated query finds, 0 where none."""
    counted = rows.order_by().values("workshop").annotate(n=Count("pk")).values("n")
    return Coalesce(Subquery(counted, output_field=models.IntegerField()), 0)


class Workshop(models.Model):
    """One dated class, bin pick-up or stall at a venue."""

    class Kind(models.TextChoices):
        CLASS = "class", _("class")
        PICK_UP = "pick_up", _("bin pick-up")
        STALL = "stall", _("stall")

    class State(models.TextChoices):
        PLANNED = "planned", _("planned")
        HELD = "held", _("held")
        CLOSED = "closed", _("closed")
        CANCELLED = "cancelled", _("cancelled")

    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices, default=Kind.CLASS)
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.PLANNED)
    held_on = models.DateField(_("date"))
    starts_at_time = models.TimeField(_("starts"), null=True, blank=True)
    ends_at_time = models.TimeField(_("ends"), null=True, blank=True)
    venue = models.ForeignKey(Venue, models.PROTECT, related_name="+", verbose_name=_("venue"))
    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, related_name="+", verbose_name=_("jurisdiction")
    )
    language = models.CharField(_("language"), max_length=5, default="en")
    seats = models.PositiveIntegerField(_("seats"), default=40)
    booked_people = models.PositiveIntegerField(_("people booked"), default=0, editable=False)
    bins_planned = models.PositiveIntegerField(_("bins planned"), default=0)
    # People counted in the room who are on no list.
    headcount_unlisted = models.PositiveIntegerField(_("people not on a list"), default=0)
    # Why it was cancelled, or last opened again.
    state_reason = models.CharField(_("reason"), max_length=300, blank=True)
    note = models.TextField(_("note"), blank=True)
    month = models.GeneratedField(
        expression=F("held_on__year") * 12 + F("held_on__month") - 1,
        output_field=models.IntegerField(),
        db_persist=True,
    )

    objects = WorkshopQuerySet.as_manager()

    class Meta:
        ordering = ["-held_on", "starts_at_time"]
        indexes = [models.Index(fields=["jurisdiction", "month"])]
        constraints = [
            models.CheckConstraint(
                condition=Q(booked_people__lte=F("seats")) | ~Q(state="planned"),
                name="workshop_booked_within_seats",
                violation_error_message=_(
                    "More people booked than there are seats. Add seats or use standby."
                ),
            ),
            models.CheckConstraint(
                condition=~Q(state="cancelled") | ~Q(state_reason=""),
                name="workshop_cancelled_says_why",
                violation_error_message=_("Say why the workshop was cancelled."),
            ),
            not_before(
                "ends_at_time",
                "starts_at_time",
                name="workshop_ends_after_it_starts",
                sentence=_("A workshop cannot end before it starts."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.venue}, {self.held_on.day} {self.held_on:%B %Y}"

    @property
    def seats_left(self) -> int:
        return max(self.seats - self.booked_people, 0)

    @property
    def is_settled(self) -> bool:
        """Closed or cancelled: its list changes only after someone opens it again."""
        return self.state in (self.State.CLOSED, self.State.CANCELLED)


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

    def on_standby(self) -> "RegistrationQuerySet":
        """Whoever waits for a place, the first in line first."""
        return self.filter(state=Registration.State.STANDBY).order_by("standby_place")

    def on_the_list(self) -> "RegistrationQuerySet":
        """Everyone but those who cancelled."""
        return self.exclude(state=Registration.State.CANCELLED)

    def holding_a_seat(self) -> "RegistrationQuerySet":
        return self.filter(state__in=Registration.HOLDS_A_SEAT)

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

    def counted_for(self, household: Household) -> "RegistrationQuerySet":
        return self.filter(counted_under=household)

    def with_people(self) -> "RegistrationQuerySet":
        """With what a roster prints of each, in one query."""
        return self.select_related("participant", "household__jurisdiction", "workshop__venue")


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
