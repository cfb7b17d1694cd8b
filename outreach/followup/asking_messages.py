"""What a household is sent: the questions once, then reminders, each with its link and a way to be asked no more."""

from datetime import datetime, timedelta

from django.urls import reverse
from django.utils import timezone, translation
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from outreach.followup import invitation_links
from outreach.followup.models import Invitation
from outreach.households import consent
from outreach.post import kinds, links, posting, settling
from outreach.post.kinds import Kind, Text
from outreach.post.models import Message
from outreach.post.posting import Addressee

INVITATION, REMINDER = "followup.invitation", "followup.reminder"

SAMPLE = {
    "name": "Ada Holm",
    "link": "https://compost.example.org/answer/…",
    "until": "20 June 2026",
    "stop_link": "https://compost.example.org/households/consent/…",
}
TEXTS = {
    INVITATION: {
        "en": Text(
            "How is your compost bin doing?",
            "Hello $name,\n\nyou have a compost bin from us. Please tell us how it goes; it takes a minute, and it"
            " helps just as much if you have stopped.\n\n$link\n\nThe link is for your household alone. You can"
            " answer, and correct your answer, until $until.\n\nTo be asked no more: $stop_link",
        ),
        "es": Text(
            "¿Cómo va su compostera?",
            "Hola, $name:\n\nUsted tiene una compostera de nuestro programa. Cuéntenos cómo va: toma un minuto, y"
            " sirve igual si ya no la usa.\n\n$link\n\nEl enlace es solo para su hogar. Puede contestar, y corregir"
            " su respuesta, hasta el $until.\n\nPara que no le preguntemos más: $stop_link",
        ),
    },
    REMINDER: {
        "en": Text(
            "Your compost bin: one minute for our questions?",
            "Hello $name,\n\nwe have not heard from you yet. Whether the bin is in use or stands empty, your answer"
            " counts for every household we cannot ask.\n\n$link\n\nIt is open until $until.\n\n"
            "To be asked no more: $stop_link",
        ),
        "es": Text(
            "Su compostera: ¿un minuto para nuestras preguntas?",
            "Hola, $name:\n\nTodavía no sabemos cómo le va. Use o no la compostera, su respuesta cuenta por todos los"
            " hogares a los que no podemos preguntar.\n\n$link\n\nPuede contestar hasta el $until.\n\n"
            "Para que no le preguntemos más: $stop_link",
        ),
    },
}
TITLES = {INVITATION: _("Asks how the composting goes"), REMINDER: _("Reminds of our questions")}


def register() -> None:
    """List both kinds with the outbox, and under the consent they need."""
    for key, texts in TEXTS.items():
        # Nobody asked for these, so both may be unsubscribed from.
        kinds.register(Kind(key=key, title=TITLES[key], sample=SAMPLE, texts=texts, is_reminder=True))
    consent.register_kinds(consent.Purpose.FOLLOW_UP, TEXTS)


def ask(invitation: Invitation, to: Addressee, at: datetime) -> Message:
    """Send the questions."""
    return _post(INVITATION, invitation, to, at)


def remind(invitation: Invitation, to: Addressee, at: datetime) -> Message:
    """Send the reminder that comes next."""
    return _post(REMINDER, invitation, to, at)


def last_sent(invitation: Invitation) -> Message | None:
    """The latest message about it."""
    return Message.objects.keyed(_key(invitation, invitation.reminders_sent))


def take_back(invitation: Invitation, at: datetime) -> int:
    """What has not gone out yet is no longer wanted."""
    return posting.withdraw(dedupe_prefix=f"invitation:{invitation.pk}:", at=at)


def take_back_calls(invitation: Invitation, at: datetime) -> int:
    """A call that was not made yet is not made; the next reminder is a letter."""
    return settling.withdraw_all(Message.objects.in_group(f"invitation:{invitation.pk}:").calls(), at=at)


def is_unwanted(message: Message | None) -> bool:
    """Its reader unsubscribed, or said no to questions."""
    said_no = (settling.UNWANTED, settling.NOT_ASKED)
    return message is not None and message.state == Message.State.WITHDRAWN and message.last_error in said_no


def _key(invitation: Invitation, reminders: int) -> str:
    return f"invitation:{invitation.pk}:{reminders}"


def _post(kind: str, invitation: Invitation, to: Addressee, at: datetime) -> Message:
    number = 0 if kind == INVITATION else invitation.reminders_sent + 1
    stop = consent.path_of(invitation.household, consent.Purpose.FOLLOW_UP)
    with translation.override(to.language):
        until = date_format(invitation.closes_on, "DATE_FORMAT")
    return posting.post(
        kind=kind,
        to=to,
        values={
            "name": to.name,
            "link": invitation_links.mailed(invitation, to.language),
            "until": until,
            "stop_link": links.public_url(f"{stop}?language={to.language}"),
        },
        dedupe_key=_key(invitation, number),
        at=at,
        useless_after=_midnight_after(invitation),
        about_url=reverse("household", args=[invitation.counted_under_id]),
    )


def _midnight_after(invitation: Invitation) -> datetime:
    """The end of its last day: later it would lead to a page that is closed."""
    day = invitation.closes_on + timedelta(days=1)
    return datetime(day.year, day.month, day.day, tzinfo=timezone.get_current_timezone())
