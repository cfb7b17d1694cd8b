"""May this household have a subsidised bin on that day? One plain sentence, with the reason and since when."""

import uuid
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins import settling
from outreach.bins.allotment import Allotment
from outreach.bins.models import Handout, RuleException, RuleVersion
from outreach.bins.rule_book import RuleBook
from outreach.households.models import Household

Kind = RuleException.Kind
# Sorts after every other handout of its day.
LAST_OF_THE_DAY = uuid.UUID(int=2**128 - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Where a household stands under the rule in force on a day."""

    may_have_bin: bool
    sentence: str
    rule: RuleVersion
    slot: int | None = None
    slots: int | None = None
    window_from_on: date | None = None
    exception_kind: str = ""


def standing_of(household: Household, on: date) -> Standing:
    """What a subsidised bin handed out on that day would be: in the rule, or an exception and why."""
    return standings_of([household], on)[household.pk]


def standings_of(households: Sequence[Household], on: date) -> dict[int, Standing]:
    """The same for many, none of them merged into another of them, by number; as many queries as for one."""
    roots = {household.pk: settling.root_of(household) for household in households}
    asked = {pk: _one_more(pk, root.pk, on) for pk, root in roots.items()}
    known, verdicts = settling.verdicts_of(roots.values(), list(asked.values()))
    of_root: dict[int, list[Handout]] = defaultdict(list)
    for handout in known:
        of_root[handout.counted_under_id].append(handout)
    book = RuleBook.read()
    return {
        pk: standing_from(
            verdict_beside(asked[pk], of_root[root.pk], verdicts), book.in_force(root.jurisdiction_id, on)
        )
        for pk, root in roots.items()
    }


def _one_more(household_id: int, root_id: int, on: date) -> Handout:
    """A bin that is not handed out, under a number of its own: it sorts after every other of its day."""
    return Handout(
        event_id=uuid.UUID(int=LAST_OF_THE_DAY.int - household_id),
        household_id=household_id,
        counted_under_id=root_id,
        handed_on=on,
        happened_at=datetime.combine(on + timedelta(days=1), time.max, UTC),
    )


def verdict_beside(new: Handout, known: list[Handout], verdicts: dict[uuid.UUID, Allotment]) -> Allotment:
    """The verdict on a new handout that may take nobody's place: one recorded already keeps its own."""
    for handout in known:
        if handout.slot is not None and verdicts[handout.event_id].kind:
            day = date_format(handout.handed_on, "j F Y")
            about = _("The household had its bin on %(day)s.") % {"day": day}
            return Allotment(kind=Kind.SECOND_BIN, about=about)
    return verdicts[new.event_id]


def standing_from(verdict: Allotment, rule: RuleVersion) -> Standing:
    """Put a verdict into words."""
    says = rule_in_words(rule)
    if verdict.kind:
        words = _("%(about)s %(rule)s A bin all the same is an exception and needs a reason.")
        sentence = words % {"about": verdict.about, "rule": says}
        return Standing(may_have_bin=False, sentence=sentence, rule=rule, exception_kind=verdict.kind)
    return Standing(
        may_have_bin=True,
        sentence=_("This household may have a bin. %(rule)s") % {"rule": says},
        rule=rule,
        slot=verdict.slot,
        slots=verdict.slots,
        window_from_on=verdict.window_from_on,
    )


def rule_in_words(rule: RuleVersion) -> str:
    """The rule as a sentence: how many, in which window, since when."""
    many = ngettext(
        "Since %(since)s the rule allows %(count)d subsidised bin per household, %(window)s.",
        "Since %(since)s the rule allows %(count)d subsidised bins per household, %(window)s.",
        rule.slots,
    )
    since = date_format(rule.in_force_from_on, "j F Y")
    return many % {"since": since, "count": rule.slots, "window": _window_in_words(rule)}


def _window_in_words(rule: RuleVersion) -> str:
    match rule.window:
        case RuleVersion.Window.CALENDAR_YEAR:
            return _("in a calendar year")
        case RuleVersion.Window.FISCAL_YEAR:
            return _("in a fiscal year")
        case RuleVersion.Window.SINCE if rule.window_from_on:
            day = date_format(rule.window_from_on, "j F Y")
            return _("counting from %(day)s") % {"day": day}
        case _:
            return _("ever")
