"""Workshops as iCalendar (RFC 5545), for residents with what they may read, for staff with counts only."""

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta

from django.urls import reverse
from django.utils.translation import gettext as _
from icalendar import Calendar, Event

from outreach.post import links
from outreach.workshops import sayings
from outreach.workshops.models import Workshop

PRODUCT = "-//Loambook//Workshops//EN"
CONTENT_TYPE = "text/calendar; charset=utf-8"


def public_calendar(workshops: Iterable[Workshop], at: datetime) -> bytes:
    """Each workshop once; a cancelled one stays and says so, so that calendars strike it out."""
    calendar = _calendar(_("Composting workshops"))
    for workshop in workshops:
        event = _event(workshop, at)
        event.add("url", links.public_url(reverse("public_workshop", args=[workshop.pk])))
        said = (sayings.bring(workshop), sayings.accessibility(workshop))
        event.add("description", "\n".join(filter(None, said)))
        calendar.add_component(event)
    return calendar.to_ical()


def staff_calendar(workshops: Iterable[Workshop], at: datetime) -> bytes:
    """Counts of people and bins, no names; `workshops` carry their counts of people."""
    calendar = _calendar(_("Workshops: counts"))
    for workshop in workshops:
        event = _event(workshop, at)
        event.add("url", links.public_url(reverse("workshop", args=[workshop.pk])))
        event.add("description", _counts(workshop))
        calendar.add_component(event)
    return calendar.to_ical()


def _counts(workshop: Workshop) -> str:
    words = _(
        "%(booked)d of %(seats)d seats taken, %(standby)d on standby, %(bins)d bins planned, %(came)d came"
    )
    return words % {
        "booked": workshop.booked_people,
        "seats": workshop.seats,
        "standby": workshop.people_standby,  # type: ignore[attr-defined]
        "bins": workshop.bins_planned,
        "came": workshop.people_came,  # type: ignore[attr-defined]
    }


def _calendar(name: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    return calendar


def _event(workshop: Workshop, at: datetime) -> Event:
    event = Event()
    event.add("uid", f"workshop-{workshop.pk}@{_host()}")
    event.add("dtstamp", at)
    event.add("sequence", workshop.revision + (workshop.state == Workshop.State.CANCELLED))
    event.add("summary", sayings.title(workshop))
    event.add("location", sayings.address(workshop))
    event.add("status", "CANCELLED" if workshop.state == Workshop.State.CANCELLED else "CONFIRMED")
    if workshop.starts_at is None:
        event.add("dtstart", workshop.held_on)
        event.add("dtend", workshop.held_on + timedelta(days=1))
    else:
        event.add("dtstart", _in_utc(workshop.starts_at))
        if workshop.ends_at is not None:
            event.add("dtend", _in_utc(workshop.ends_at))
    return event


def _in_utc(instant: datetime) -> datetime:
    return instant.astimezone(UTC)


def _host() -> str:
    return links.public_url("/").split("//")[-1].split("/")[0].split(":")[0]
