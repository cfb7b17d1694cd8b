"""How waves were answered: by the way an answer came, and by how often the household was reminded before.

Late answerers are evidence about the silent, so each row says how many of them still compost.
"""

from dataclasses import dataclass
from typing import Any

from django.db.models import Count, Q
from django.utils.translation import gettext as _

from outreach.followup.models import Answer, Invitation, Wave


@dataclass(frozen=True, slots=True, kw_only=True)
class Answered:
    """Answers of one kind: how many, of how many households asked, how many of them still compost."""

    name: str
    answers: int
    still: int
    asked: int

    @property
    def share_percent(self) -> float | None:
        """Answers in percent of households asked."""
        return 100 * self.answers / self.asked if self.asked else None

    @property
    def still_percent(self) -> float | None:
        """Households that still compost, in percent of these answers."""
        return 100 * self.still / self.answers if self.answers else None


def by_channel(wave: Wave | None = None) -> list[Answered]:
    """Answers of households that were asked, by the way they came, the most frequent first."""
    names = dict(Answer.Channel.choices)
    rows, asked = _counted(wave, "channel").order_by("-answers", "channel"), _asked(wave)
    return [Answered(name=str(names[row.pop("channel")]), asked=asked, **row) for row in rows]


def by_reminders(wave: Wave | None = None) -> list[Answered]:
    """Answers of households that were asked, by how many reminders there had been."""
    rows, asked = _counted(wave, "reminders").order_by("reminders"), _asked(wave)
    return [Answered(name=_reminders_in_words(row.pop("reminders")), asked=asked, **row) for row in rows]


def _counted(wave: Wave | None, by: str) -> Any:
    answers = Answer.objects.current().after_being_asked()
    if wave is not None:
        answers = answers.of_wave(wave)
    still = ~Q(composting=Answer.Composting.STOPPED)
    return answers.order_by().values(by).annotate(answers=Count("pk"), still=Count("pk", filter=still))


def _asked(wave: Wave | None) -> int:
    asked = Invitation.objects.all() if wave is None else Invitation.objects.of_wave(wave)
    return asked.count()


def _reminders_in_words(reminders: int) -> str:
    if reminders == 0:
        return _("before any reminder")
    return _("after 1 reminder") if reminders == 1 else _("after %(n)s reminders") % {"n": reminders}
