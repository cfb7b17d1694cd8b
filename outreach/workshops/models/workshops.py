"""Workshops: when, where, for how many, and what residents are told of them."""

from collections.abc import Iterable
from datetime import date, datetime, time
from typing import Any

from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import Count, F, OuterRef, Q, Subquery, Sum
from django.db.models.functions import Coalesce
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Jurisdiction, Venue
from outreach.staff.constraints import both_or_neither, not_before


class WorkshopQuerySet(models.QuerySet["Workshop"]):
    def held_between(self, first_day: date, last_day: date) -> "WorkshopQuerySet":
        return self.filter(held_on__range=(first_day, last_day)).exclude(state=Workshop.State.CANCELLED)

    def held_before(self, on: date) -> "WorkshopQuerySet":
        return self.filter(held_on__lt=on).exclude(state=Workshop.State.CANCELLED)

    def coming(self, on: date) -> "WorkshopQuerySet":
        return self.filter(held_on__gte=on).exclude(state=Workshop.State.CANCELLED).order_by("held_on")

    def from_day(self, on: date) -> "WorkshopQuerySet":
        """That day's and later ones, also cancelled, the first first."""
        return self.filter(held_on__gte=on).order_by("held_on", "starts_at_time")

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

    def public(self) -> "WorkshopQuerySet":
        """Those that residents may read about; a cancelled one stays, so that its page says so."""
        return self.filter(is_public=True)

    def in_month(self, month: int) -> "WorkshopQuerySet":
        """Those of a month, counted as `year * 12 + month - 1`."""
        return self.filter(month=month)

    def in_language(self, code: str) -> "WorkshopQuerySet":
        return self.filter(language=code)

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
        return self.select_related("venue__jurisdiction", "jurisdiction", "postponed_from_venue")

    def with_came(self) -> "WorkshopQuerySet":
        """Each with `people_came`: everybody in the room, named, along with somebody named, or on no list."""
        came = _registrations().filter(workshop=OuterRef("pk")).who_came()
        return self.annotate(
            people_came=F("headcount_unlisted") + _count_of(came) + _sum_of(came, "came_with")
        )

    def with_unlisted(self) -> "WorkshopQuerySet":
        """Each with `people_unlisted`: who came along with somebody of the list, or was counted in the room."""
        came = _registrations().filter(workshop=OuterRef("pk")).who_came()
        return self.annotate(people_unlisted=F("headcount_unlisted") + _sum_of(came, "came_with"))

    def with_people(self) -> "WorkshopQuerySet":
        """Each with `people_on_list`, `people_came` and `people_standby`, and its venue at hand.

        Whoever comes along with a person of the list counts with that person.
        """
        here = _registrations().filter(workshop=OuterRef("pk"))
        return (
            self.with_names()
            .with_came()
            .annotate(
                people_on_list=_people_of(here.on_the_list()), people_standby=_people_of(here.on_standby())
            )
        )


def _registrations() -> Any:
    # The module of registrations imports this one.
    return apps.get_model("workshops", "Registration").objects


def _seated() -> models.expressions.CombinedExpression:
    """People who hold a place, those they bring along unnamed, and places offered to someone on standby."""
    here = {"workshop": OuterRef("pk")}
    held = _registrations().filter(**here).holding_a_seat()
    bookings = apps.get_model("workshops", "Booking").objects.filter(**here).booked()
    offers = apps.get_model("workshops", "Offer").objects.filter(**here).open()
    return _count_of(held) + _sum_of(bookings, "people_beyond") + _sum_of(offers, "places")


def _sum_of(rows: models.QuerySet[Any], field: str) -> Coalesce:
    """The sum of a whole number over what a correlated query finds, 0 where none."""
    summed = rows.order_by().values("workshop").annotate(n=Sum(field)).values("n")
    return Coalesce(Subquery(summed, output_field=models.IntegerField()), 0)


def _people_of(lines: Any) -> Coalesce:
    """How many people the lines that a correlated query finds stand for, 0 where none."""
    return Coalesce(Subquery(lines.people_at_each(), output_field=models.IntegerField()), 0)


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
    is_public = models.BooleanField(_("residents can read about it and sign up"), default=False)
    sign_up_closes_at = models.DateTimeField(_("sign-up closes"), null=True, blank=True)
    confirm_by_on = models.DateField(_("confirm by"), null=True, blank=True)
    bring = models.TextField(_("what to bring"), blank=True)
    bring_es = models.TextField(_("what to bring, in Spanish"), blank=True)
    accessibility = models.TextField(_("accessibility"), blank=True)
    accessibility_es = models.TextField(_("accessibility, in Spanish"), blank=True)
    # Where it was to be before it was last postponed; calendars count every change of day, hour or place.
    postponed_at = models.DateTimeField(null=True, blank=True, editable=False)
    postponed_from_on = models.DateField(null=True, blank=True, editable=False)
    postponed_from_venue = models.ForeignKey(
        Venue, models.PROTECT, null=True, blank=True, related_name="+", editable=False
    )
    revision = models.PositiveIntegerField(default=0, editable=False)
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
            models.CheckConstraint(
                condition=Q(is_public=False) | Q(starts_at_time__isnull=False),
                name="workshop_public_has_a_start",
                violation_error_message=_("Give the time at which it starts before residents can sign up."),
            ),
            not_before(
                "held_on",
                "confirm_by_on",
                name="workshop_confirmed_before_it_is_held",
                sentence=_("People confirm on the day of the workshop at the latest."),
            ),
            both_or_neither(
                "postponed_at",
                "postponed_from_on",
                name="workshop_postponed_from_a_day",
                sentence=_("Say from which day the workshop was postponed."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.venue}, {self.held_on.day} {self.held_on:%B %Y}"

    def clean(self) -> None:
        """Sign-up closes before the workshop starts."""
        if self.sign_up_closes_at and self.starts_at and self.sign_up_closes_at > self.starts_at:
            raise ValidationError({"sign_up_closes_at": _("Sign-up closes before the workshop starts.")})

    @property
    def starts_at(self) -> datetime | None:
        """The instant at which it starts; none where only the day is known."""
        return self._instant(self.starts_at_time)

    @property
    def ends_at(self) -> datetime | None:
        return self._instant(self.ends_at_time)

    @property
    def begins_at(self) -> datetime:
        """Where no time is known, the start of its day."""
        return self.starts_at or timezone.make_aware(datetime.combine(self.held_on, time.min))

    def _instant(self, hour: time | None) -> datetime | None:
        if hour is None or self.held_on is None:
            return None
        return timezone.make_aware(datetime.combine(self.held_on, hour))

    @property
    def last_sign_up_at(self) -> datetime | None:
        """Until when residents may sign up."""
        return self.sign_up_closes_at or self.starts_at

    def takes_sign_ups(self, at: datetime) -> bool:
        """Residents may sign up now, be it for standby."""
        last = self.last_sign_up_at
        return self.is_public and self.state == self.State.PLANNED and last is not None and at < last

    @property
    def seats_left(self) -> int:
        return max(self.seats - self.booked_people, 0)

    @property
    def is_settled(self) -> bool:
        """Closed or cancelled: its list changes only after someone opens it again."""
        return self.state in (self.State.CLOSED, self.State.CANCELLED)
