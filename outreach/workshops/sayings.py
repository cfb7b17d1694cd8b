"""A workshop in words for residents, in the language that is active."""

from datetime import date, datetime, time

from django.utils import timezone, translation
from django.utils.formats import date_format, time_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext, pgettext

from outreach.workshops.models import Booking, Workshop
from outreach.workshops.offer_times import KEPT_FOR

OFFER_HOURS = str(int(KEPT_FOR.total_seconds() // 3600))
Because = Booking.Because


def title(workshop: Workshop) -> str:
    """What residents call it."""
    return {
        Workshop.Kind.CLASS: _("Home composting class"),
        Workshop.Kind.PICK_UP: _("Compost bin pick-up"),
        Workshop.Kind.STALL: _("Composting stall"),
    }[Workshop.Kind(workshop.kind)]


def day(on: date) -> str:
    return date_format(on, pgettext("how a day is written", "l, j F Y"))


def hours(workshop: Workshop) -> str:
    """'10:00 am to noon', or nothing where no time is known."""
    if workshop.starts_at_time is None:
        return ""
    starts = _clock(workshop.starts_at_time)
    if workshop.ends_at_time is None:
        return starts
    ends = _clock(workshop.ends_at_time)
    return _("%(starts)s to %(ends)s") % {"starts": starts, "ends": ends}


def _clock(hour: time) -> str:
    """'10:30 am': without the dots that would end a sentence twice."""
    return time_format(hour, "TIME_FORMAT").replace("a.m.", "am").replace("p.m.", "pm")


def moment(at: datetime) -> str:
    local = timezone.localtime(at)
    written = pgettext("how a day of this year is written", "l, j F")
    words = {"day": date_format(local, written), "time": _clock(local.time())}
    return _("%(day)s, %(time)s") % words


def address(workshop: Workshop) -> str:
    """The venue with its street, as it goes on an envelope or into a map."""
    return ", ".join(
        filter(None, (workshop.venue.name, workshop.venue.street, workshop.venue.jurisdiction.name))
    )


def language(code: str) -> str:
    """'in Spanish', for a list that is read in either language."""
    return {"en": _("in English"), "es": _("in Spanish")}.get(code, code)


def bring(workshop: Workshop) -> str:
    return _in_language(workshop.bring, workshop.bring_es)


def accessibility(workshop: Workshop) -> str:
    return _in_language(workshop.accessibility, workshop.accessibility_es)


def _in_language(english: str, spanish: str) -> str:
    wants_spanish = (translation.get_language() or "").startswith("es")
    return (spanish or english) if wants_spanish else (english or spanish)


def people(count: int) -> str:
    return ngettext("%(count)d person", "%(count)d people", count) % {"count": count}


def places(count: int) -> str:
    return ngettext("%(count)d place", "%(count)d places", count) % {"count": count}


def facts_of(workshop: Workshop) -> dict[str, str]:
    """What every message about a workshop may name."""
    return {
        "workshop": title(workshop),
        "day": day(workshop.held_on),
        "hours": hours(workshop),
        "place": address(workshop),
        "bring": bring(workshop),
    }


def standing(booking: Booking) -> str:
    """Booked or standing by, as one sentence."""
    if booking.state == Booking.State.STANDBY:
        return _(
            "All places are taken at the moment, so you are on standby. When places come free we offer them "
            "in order, and tell you."
        )
    return _("Your places are kept.")


def to_do(booking: Booking) -> str:
    """What the household must still do to keep its places; or nothing."""
    confirm_by = booking.workshop.confirm_by_on
    if booking.state != Booking.State.BOOKED or booking.confirmed_at is not None or confirm_by is None:
        return ""
    words = _("Please confirm by %(day)s: places that are not confirmed then go to people on standby.")
    return words % {"day": day(confirm_by)}


def bin_sentence(booking: Booking) -> str:
    """What is said of a bin depends on what was typed, never on what is on record."""
    if not booking.wants_bin or not booking.workshop.bins_planned:
        return ""
    if booking.is_outside_area:
        return _(
            "The programme's bins are for households in the places it serves, and your address seems to be "
            "elsewhere. Come all the same: what you learn works with any bin."
        )
    if booking.dwelling == Booking.Dwelling.APARTMENT:
        return _(
            "Whether a bin can be given to a home without ground of its own depends on the rule of your city. "
            "Come all the same: we show ways to compost indoors and on a balcony."
        )
    return _(
        "If the rule allows your household a bin and bins are left, one is kept for you until the start. "
        "A place in the room is not a bin: bins may run out."
    )


def given_back_because(because: str) -> str:
    if because == Because.NOT_CONFIRMED:
        return _("They were not confirmed in time, so other people have them now.")
    if because == Because.OFFICE:
        return _("The office gave them back.")
    return _("You gave them back.")


def was_to_be(workshop: Workshop) -> str:
    """Where and when it was to be before it was postponed."""
    words = day(workshop.postponed_from_on) if workshop.postponed_from_on else ""
    venue = workshop.postponed_from_venue
    return ", ".join(filter(None, (words, venue.name if venue is not None else "")))


def reach(booking: Booking) -> str:
    """How they asked to be reached."""
    if booking.reach_by == Booking.ReachBy.EMAIL:
        return _("by e-mail to %(email)s") % {"email": booking.email}
    if booking.reach_by == Booking.ReachBy.PHONE:
        return _("by phone, %(phone)s") % {"phone": booking.phone}
    return _("by letter to the address you gave")
