"""What a household said when it signed up for a workshop."""

import uuid
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db import models
from django.db.models import Count, Q
from django.utils.translation import gettext_lazy as _
from django.utils.translation import pgettext_lazy

from outreach.households.models import Household, Participant
from outreach.staff.constraints import within
from outreach.workshops.models.workshops import Workshop

if TYPE_CHECKING:
    from outreach.workshops.models.registrations import RegistrationQuerySet

# Whoever brings more along is asked to call. Common practice, no source.
MOST_BEYOND = 9


class BookingQuerySet(models.QuerySet["Booking"]):
    def at(self, workshop: Workshop) -> "BookingQuerySet":
        return self.filter(workshop=workshop)

    def by_form(self, form_key: uuid.UUID) -> "Booking | None":
        """What a form that was sent before has booked."""
        return self.filter(form_key=form_key).first()

    def standing(self) -> "BookingQuerySet":
        """Those that were not given back."""
        return self.exclude(state=Booking.State.CANCELLED)

    def booked(self) -> "BookingQuerySet":
        return self.filter(state=Booking.State.BOOKED)

    def on_standby(self) -> "BookingQuerySet":
        """Whoever waits for places, the first in line first."""
        return self.filter(state=Booking.State.STANDBY).order_by("standby_place")

    def counted_for(self, household: Household) -> "BookingQuerySet":
        return self.filter(counted_under=household)

    def wanting_a_bin(self) -> "BookingQuerySet":
        return self.filter(wants_bin=True)

    def coming(self, on: date) -> "BookingQuerySet":
        """For workshops that are planned for that day or later."""
        return self.filter(workshop__held_on__gte=on, workshop__state=Workshop.State.PLANNED)

    def not_told(self) -> "BookingQuerySet":
        return self.filter(told_at__isnull=True)

    def by_mark(self) -> "models.QuerySet[Booking, dict[str, Any]]":
        """How many sign-ups came with the mark of each flyer, most first; also those given back since."""
        marked = self.exclude(flyer_mark="").order_by()
        return marked.values("flyer_mark").annotate(bookings=Count("pk")).order_by("-bookings", "flyer_mark")

    def numbered(self, number: int) -> "BookingQuerySet":
        return self.filter(pk=number)

    def not_confirmed(self) -> "BookingQuerySet":
        return self.filter(confirmed_at__isnull=True)

    def told_and_not_confirmed(self) -> "BookingQuerySet":
        """Those who were asked to confirm and have not done so."""
        return self.not_confirmed().filter(told_at__isnull=False)

    def with_people(self) -> "BookingQuerySet":
        """With what the list of bookings prints of each, in three queries."""
        return self.select_related("lead", "household", "workshop__venue").prefetch_related(
            "registrations__participant"
        )

    def in_order(self) -> "BookingQuerySet":
        return self.order_by("made_at", "pk")


class Booking(models.Model):
    """One household's sign-up for one workshop: how to reach it, what it needs, what it said of its home."""

    class State(models.TextChoices):
        BOOKED = "booked", _("booked")
        STANDBY = "standby", _("standby")
        CANCELLED = "cancelled", _("cancelled")

    class ReachBy(models.TextChoices):
        EMAIL = "email", _("e-mail")
        PHONE = "phone", _("a phone call")
        LETTER = "letter", _("a letter")

    class Dwelling(models.TextChoices):
        HOUSE = "house", _("a house")
        TOWNHOUSE = "townhouse", _("a townhouse or duplex")
        MOBILE = "mobile", _("a mobile home")
        APARTMENT = "apartment", _("an apartment")
        ELSEWHERE = "elsewhere", _("somewhere else")
        NOT_SAID = "", _("rather not say")

    class Ground(models.TextChoices):
        SOIL = "soil", _("soil, grass or gravel")
        PAVED = "paved", _("paving or concrete")
        BALCONY = "balcony", _("a balcony or roof")
        NONE = "none", _("no ground of our own")
        NOT_SAID = "", _("not sure")

    class WentTo(models.TextChoices):
        TRASH = "trash", _("the trash")
        CART = "cart", _("the green or compost cart")
        HOME = "home", _("a compost pile or bin at home")
        DISPOSER = "disposer", _("the kitchen-sink disposer")
        MIXED = "mixed", _("some here, some there")
        NONE = "none", _("we have none")
        NOT_SAID = "", pgettext_lazy("where scraps go", "not sure")

    class Heard(models.TextChoices):
        FLYER = "flyer", _("a flyer or poster")
        NEIGHBOUR = "neighbour", _("a neighbor or friend")
        CITY = "city", _("the city: mail, bill or web page")
        NEWS = "news", _("newspaper, radio or social media")
        EARLIER = "earlier", _("an earlier workshop")
        OTHER = "other", _("something else")
        NOT_SAID = "", pgettext_lazy("how they heard", "rather not say")

    class Because(models.TextChoices):
        """Why a booking was given back."""

        THEMSELVES = "themselves", _("they gave it back")
        OFFICE = "office", _("the office gave it back")
        NOT_CONFIRMED = "not_confirmed", _("not confirmed in time")
        OFFER_LAPSED = "offer_lapsed", _("the offered place was not taken in time")
        OFFER_DECLINED = "offer_declined", _("they said no to the offered place")
        JOINED = "joined", _("joined with another booking")

    # Sent along with the form, so that a form sent twice is one booking.
    form_key = models.UUIDField(unique=True, default=uuid.uuid4, editable=False)
    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="bookings")
    # As signed up; counted_under follows merges.
    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    counted_under = models.ForeignKey(Household, models.PROTECT, related_name="+")
    lead = models.ForeignKey(Participant, models.PROTECT, related_name="+", verbose_name=_("signed up by"))
    # As typed, which may differ from the record: a link or message never shows what is on record.
    typed_name = models.CharField(_("name as typed"), max_length=200, default="")
    is_outside_area = models.BooleanField(_("typed an address outside the places served"), default=False)
    # What was typed here is for this booking; the person's own record changes only once they came.
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    reach_by = models.CharField(_("reach them by"), max_length=10, choices=ReachBy.choices)
    language = models.CharField(_("language"), max_length=5, default="en")
    needs = models.CharField(_("what would help them take part"), max_length=500, blank=True)
    dwelling = models.CharField(_("dwelling"), max_length=12, choices=Dwelling.choices, blank=True)
    ground = models.CharField(_("ground for a bin"), max_length=12, choices=Ground.choices, blank=True)
    composting_before = models.CharField(
        _("composting before"),
        max_length=10,
        choices=Household.Composting.choices,
        default=Household.Composting.NOT_SAID,
    )
    food_before = models.CharField(
        _("where food scraps go now"), max_length=10, choices=WentTo.choices, blank=True
    )
    yard_before = models.CharField(
        _("where yard trimmings go now"), max_length=10, choices=WentTo.choices, blank=True
    )
    wants_bin = models.BooleanField(_("wants a bin"), default=True)
    consents_to_follow_up = models.BooleanField(_("may be asked later how it goes"), default=False)
    heard = models.CharField(_("how they heard"), max_length=10, choices=Heard.choices, blank=True)
    flyer_mark = models.CharField(_("mark of the flyer"), max_length=40, blank=True)
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.BOOKED)
    standby_place = models.PositiveIntegerField(null=True, blank=True)
    # People who have no line of their own on the roster: not named, or on it already by another booking.
    # Each takes a seat.
    people_beyond = models.PositiveSmallIntegerField(_("further people, not named"), default=0)
    made_at = models.DateTimeField()
    # When the confirmation reached them, sent or said: what they must answer counts from it.
    told_at = models.DateTimeField(null=True, blank=True)
    confirmed_at = models.DateTimeField(null=True, blank=True)
    cancelled_at = models.DateTimeField(null=True, blank=True)
    cancelled_because = models.CharField(
        _("given back because"), max_length=15, choices=Because.choices, blank=True
    )
    joined_into = models.ForeignKey("self", models.PROTECT, null=True, blank=True, related_name="joined")

    objects = BookingQuerySet.as_manager()
    registrations: "RegistrationQuerySet"

    class Meta:
        ordering = ["made_at", "pk"]
        indexes = [models.Index(fields=["workshop", "counted_under"])]
        constraints = [
            models.CheckConstraint(
                condition=~Q(reach_by="email") | ~Q(email=""),
                name="booking_email_where_chosen",
                violation_error_message=_("Give the e-mail address, or choose another way to be reached."),
            ),
            models.CheckConstraint(
                condition=~Q(reach_by="phone") | ~Q(phone=""),
                name="booking_phone_where_chosen",
                violation_error_message=_("Give the phone number, or choose another way to be reached."),
            ),
            models.CheckConstraint(
                condition=(~Q(state="cancelled") & Q(cancelled_at__isnull=True, cancelled_because=""))
                | (Q(state="cancelled", cancelled_at__isnull=False) & ~Q(cancelled_because="")),
                name="booking_given_back_says_why",
                violation_error_message=_("Say why the booking was given back."),
            ),
            models.CheckConstraint(
                condition=Q(state="standby", standby_place__isnull=False)
                | (~Q(state="standby") & Q(standby_place__isnull=True)),
                name="booking_standby_has_a_place",
                violation_error_message=_("Give the place on standby, and only where someone stands by."),
            ),
            models.UniqueConstraint(
                fields=["workshop", "standby_place"],
                condition=Q(state="standby"),
                name="booking_standby_in_order",
                violation_error_message=_("Someone else has that place on standby."),
            ),
            within(
                "people_beyond",
                0,
                MOST_BEYOND,
                name="booking_brings_few",
                sentence=_("At most 9 more people come along. Ask larger groups to call."),
            ),
            models.CheckConstraint(
                condition=Q(joined_into__isnull=True) | Q(cancelled_because="joined"),
                name="booking_joined_is_given_back",
                violation_error_message=_("A booking that was joined into another is given back."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.lead} for {self.workshop}"

    @property
    def people(self) -> int:
        """How many come in all: those on the roster, and the others."""
        named = [one for one in self.registrations.all() if one.state != "cancelled"]
        return self.people_beyond + len(named)

    @property
    def stands(self) -> bool:
        return self.state != self.State.CANCELLED

    @property
    def must_confirm(self) -> bool:
        """Their place goes to someone else unless they confirm."""
        return self.stands and self.confirmed_at is None and self.workshop.confirm_by_on is not None
