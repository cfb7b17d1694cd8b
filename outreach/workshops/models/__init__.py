"""Workshops, who signed up for them and how, places offered, waivers."""

from outreach.workshops.models.bookings import MOST_BEYOND, Booking, BookingQuerySet
from outreach.workshops.models.offers import Offer, OfferQuerySet
from outreach.workshops.models.registrations import Registration, RegistrationQuerySet
from outreach.workshops.models.tries import SignUpTry
from outreach.workshops.models.waivers import WaiverAcceptance, WaiverText
from outreach.workshops.models.workshops import Workshop, WorkshopQuerySet

__all__ = [
    "MOST_BEYOND",
    "Booking",
    "BookingQuerySet",
    "Offer",
    "OfferQuerySet",
    "Registration",
    "RegistrationQuerySet",
    "SignUpTry",
    "WaiverAcceptance",
    "WaiverText",
    "Workshop",
    "WorkshopQuerySet",
]
