"""The kinds of messages that tell of workshops, for the list of the coordinator and the outbox."""

from datetime import datetime

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.post import kinds
from outreach.post.kinds import Kind, Text
from outreach.post.models import Message
from outreach.workshops import changing, offering
from outreach.workshops.texts import TEXTS

SAMPLE = {
    "name": "Ada Holm",
    "workshop": "Home composting class",
    "day": "Saturday, 9 May 2026",
    "hours": "10:00 am to 11:30 am",
    "place": "Orchard House, 1 Mill Lane, Quillby",
    "people": "2 people",
    "bring": "Bring a small bag of kitchen scraps.",
    "link": "https://loambook.example.org/sign-up/",
}
MORE: dict[str, dict[str, str]] = {
    "confirmation": {
        "standing": "Your places are kept.",
        "to_do": "Please confirm by Wednesday, 6 May 2026.",
        "bin": "If bins are left, one is kept for you until the start.",
    },
    "already_known": {"remark": "Your household had its bin on 9 May 2025."},
    "please_confirm": {"confirm_by": "Wednesday, 6 May 2026"},
    "offer": {"places": "2 places", "hours_kept": "24"},
    "given_back": {"why": "You gave them back."},
    "cancellation": {},
    "postponed": {"before": "Saturday, 2 May 2026, Orchard House"},
}
TITLES: dict[str, str | Promise] = {
    "confirmation": _("Signed up for a workshop"),
    "already_known": _("Someone signed up from an address on record"),
    "please_confirm": _("Asks to confirm the places"),
    "reminder": _("Reminder of a workshop"),
    "offer": _("Offer of a place that came free"),
    "offer_expired": _("An offer is over"),
    "given_back": _("Places were given back"),
    "cancellation": _("A workshop is cancelled"),
    "postponed": _("A workshop is postponed or moved"),
    "thanks": _("Thanks for coming"),
}
# May be unsubscribed from; the others are about something the person asked for.
REMINDERS = {"please_confirm", "reminder", "thanks"}


def register_all() -> None:
    told = {"confirmation": _booking_told, "please_confirm": _booking_told, "offer": _offer_told}
    for key, (english, spanish) in TEXTS.items():
        kinds.register(
            Kind(
                key=f"workshops.{key}",
                title=TITLES[key],
                sample={**SAMPLE, **MORE.get(key, {})},
                texts={"en": Text(*english), "es": Text(*spanish)},
                needed=frozenset() if key == "thanks" else frozenset({"link"}),
                is_reminder=key in REMINDERS,
                when_told=told.get(key),
            )
        )


def _booking_told(message: Message, at: datetime) -> None:
    changing.told(_number_in(message.dedupe_key, place=1), at)


def _offer_told(message: Message, at: datetime) -> None:
    offering.told(_number_in(message.dedupe_key, place=-1), at)


def _number_in(dedupe_key: str, *, place: int) -> int:
    """'booking:17:confirmation' names booking 17; 'booking:17:offer:5' offer 5."""
    return int(dedupe_key.split(":")[place])
