"""Places that came free, offered to whoever stands by."""

from datetime import datetime

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Participant
from outreach.staff.constraints import both_or_neither, not_before
from outreach.workshops.models.bookings import Booking
from outreach.workshops.models.registrations import Registration
from outreach.workshops.models.workshops import Workshop


class OfferQuerySet(models.QuerySet["Offer"]):
    def at(self, workshop: Workshop) -> "OfferQuerySet":
        return self.filter(workshop=workshop)

    def open(self) -> "OfferQuerySet":
        return self.filter(outcome=Offer.Outcome.OPEN)

    def of(self, party: Booking | Registration) -> "OfferQuerySet":
        """Those made to a booking, or to a person who stands by without one."""
        name = "booking" if isinstance(party, Booking) else "registration"
        return self.filter(**{name: party})

    def run_out(self, at: datetime) -> "OfferQuerySet":
        """Open ones whose time is over."""
        return self.open().filter(until_at__lte=at)

    def with_people(self) -> "OfferQuerySet":
        return self.select_related("registration__participant", "booking__lead", "workshop__venue")


class Offer(models.Model):
    """Places kept for someone on standby until they say yes or no, or their time is over."""

    class Outcome(models.TextChoices):
        OPEN = "open", _("waits for an answer")
        ACCEPTED = "accepted", _("taken")
        DECLINED = "declined", _("declined")
        EXPIRED = "expired", _("not taken in time")
        WITHDRAWN = "withdrawn", _("withdrawn")

    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="offers")
    # To the people of a booking, or to a person whom the office put on standby.
    booking = models.ForeignKey(Booking, models.PROTECT, null=True, blank=True, related_name="offers")
    registration = models.ForeignKey(
        Registration, models.PROTECT, null=True, blank=True, related_name="offers"
    )
    places = models.PositiveSmallIntegerField(_("places"))
    made_at = models.DateTimeField()
    # When it was sent or said; the time to answer counts from then.
    told_at = models.DateTimeField(null=True, blank=True)
    until_at = models.DateTimeField(_("kept until"), null=True, blank=True)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome.choices, default=Outcome.OPEN)
    closed_at = models.DateTimeField(null=True, blank=True)

    objects = OfferQuerySet.as_manager()

    class Meta:
        ordering = ["made_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["registration"],
                condition=Q(outcome="open"),
                name="offer_one_open_per_person",
                violation_error_message=_("These people have an offer that waits for an answer."),
            ),
            models.UniqueConstraint(
                fields=["booking"],
                condition=Q(outcome="open"),
                name="offer_one_open_per_booking",
                violation_error_message=_("These people have an offer that waits for an answer."),
            ),
            models.CheckConstraint(
                condition=Q(booking__isnull=False, registration__isnull=True)
                | Q(booking__isnull=True, registration__isnull=False),
                name="offer_to_a_booking_or_a_person",
                violation_error_message=_("An offer is made to a booking, or to a person without one."),
            ),
            models.CheckConstraint(
                condition=Q(places__gte=1),
                name="offer_of_a_place",
                violation_error_message=_("An offer is of one place or more."),
            ),
            models.CheckConstraint(
                condition=Q(outcome="open", closed_at__isnull=True)
                | (~Q(outcome="open") & Q(closed_at__isnull=False)),
                name="offer_open_or_closed",
                violation_error_message=_("An offer is open, or closed at an instant."),
            ),
            both_or_neither(
                "told_at",
                "until_at",
                name="offer_time_counts_from_being_told",
                sentence=_("The time to answer counts from when the person was told."),
            ),
            not_before(
                "until_at",
                "told_at",
                name="offer_ends_after_it_was_told",
                sentence=_("An offer cannot end before the person was told."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.places} at {self.workshop} for {self.person}"

    @property
    def person(self) -> Participant:
        """Whoever is asked."""
        return self.booking.lead if self.booking is not None else self.registration.participant  # type: ignore[union-attr]

    @property
    def is_open(self) -> bool:
        return self.outcome == self.Outcome.OPEN
