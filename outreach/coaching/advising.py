"""Advice for one help request: composed from the table, sent through the outbox, or printed."""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction
from django.urls import reverse
from django.utils import translation
from django.utils.translation import gettext as _

from outreach.coaching import helping, reaching, rules_in_words
from outreach.coaching.helping import Act
from outreach.coaching.models import HelpRequest, HelpStep, LocalRules
from outreach.coaching.problems import diagnose
from outreach.post import links, posting
from outreach.post.models import Message

ADVICE = "help.advice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """Advice in one language: its sections, each a heading and lines, in the order they are read."""

    language: str
    sections: tuple[tuple[str, tuple[str, ...]], ...]

    @property
    def text(self) -> str:
        """All of it as plain text, for a message."""
        parts = (
            heading + "\n" + "\n".join(f"- {line}" for line in lines) for heading, lines in self.sections
        )
        return "\n\n".join(parts)


def advice_for(asked: HelpRequest, *, own_words: str = "", language: str = "") -> Advice:
    """What to tell them: causes in order, what to do, when to call, cautions, the rules where they live."""
    language = language or reaching.language_of(asked)
    found = diagnose(one.symptom for one in asked.symptoms.all())
    rules = LocalRules.objects.of(asked.jurisdiction)
    with translation.override(language):
        sections = [(_("For you"), tuple(own_words.splitlines()))] if own_words.strip() else []
        sections += [
            (f"{number}. {cause.words}", tuple(map(str, cause.now)))
            for number, cause in enumerate(found.causes, start=1)
        ]
        calls = tuple(f"{problem.name}: {problem.call}" for problem in found.problems)
        sections += _where_any((_("When to call someone"), calls))
        sections += _where_any((_("Take care"), tuple(map(str, found.cautions))))
        if rules is not None:
            heading = _("Rules in %(town)s") % {"town": rules.jurisdiction}
            sections.append((heading, tuple(rules_in_words.sentences(rules))))
    return Advice(language=language, sections=tuple(sections))


def _where_any(section: tuple[str, tuple[str, ...]]) -> list[tuple[str, tuple[str, ...]]]:
    return [section] if section[1] else []


@transaction.atomic
def send(*, request: HelpRequest, own_words: str, act: Act) -> Message:
    """Queue the advice for them and write down that it was given; without an address it becomes a call."""
    advice = advice_for(request, own_words=own_words)
    earlier = HelpStep.objects.filter(help_request=request, kind=HelpStep.Kind.ADVICE_SENT).count()
    to = reaching.addressee_of(request)
    message = posting.post(
        kind=ADVICE,
        to=to,
        values={"name": to.name, "advice": advice.text, "link": links.public_url(reverse("ask_for_help"))},
        dedupe_key=f"{ADVICE}:{request.pk}:{earlier + 1}",
        at=act.at,
        about_url=reverse("help_request", args=[request.pk]),
    )
    _write_down(request, HelpStep.Kind.ADVICE_SENT, advice, act)
    return message


@transaction.atomic
def printed(*, request: HelpRequest, own_words: str, act: Act) -> Advice:
    """Write down that the advice was printed, and give it."""
    advice = advice_for(request, own_words=own_words)
    _write_down(request, HelpStep.Kind.ADVICE_PRINTED, advice, act)
    return advice


def _write_down(request: HelpRequest, kind: Any, advice: Advice, act: Act) -> HelpStep:
    on: date = act.on
    longest = HelpStep._meta.get_field("words").max_length or 0
    return helping.record_step(request=request, kind=kind, on=on, words=advice.text[:longest], act=act)
