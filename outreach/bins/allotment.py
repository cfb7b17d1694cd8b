"""Which handouts of one household hold a place in the rule, and which stand outside it.

Pure: the same handouts give the same answer in whatever order they were recorded. Of two for one
place the earlier holds it (day, instant, event id). What a person gave a reason for stays as ruled.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.bins.models import Handout, RuleException, RuleVersion
from outreach.bins.rule_book import RuleBook

Kind = RuleException.Kind


@dataclass(frozen=True, slots=True)
class Allotment:
    """What one handout is under the rule: a place in it, an exception, or neither."""

    slot: int | None = None
    slots: int | None = None
    window_from_on: date | None = None
    allowance: str = ""
    kind: str = ""
    about: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """A bin that counts against later ones."""

    handed_on: date
    slot: int | None = None
    # The day on which it came back under a rule that gives the place back.
    freed_on: date | None = None

    def counts(self, window_from: date, on: date) -> bool:
        return self.handed_on >= window_from and (self.freed_on is None or self.freed_on > on)


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What the rule looks at besides the handouts: where the household lives and what it brought along."""

    jurisdiction_id: int | None
    carried_on: tuple[date, ...] = ()


def in_order(handout: Handout) -> tuple[date, float, str]:
    """What decides who was first: the day, the instant, then the event's own number."""
    return handout.handed_on, handout.happened_at.timestamp(), str(handout.event_id)


def allot(handouts: Iterable[Handout], circumstances: Circumstances, book: RuleBook) -> dict[UUID, Allotment]:
    """Give each handout counted under one household its place in the rule, or say why it has none."""
    in_turn = sorted(handouts, key=in_order)
    verdicts = _fold(in_turn, circumstances, book)
    by_record = defaultdict(list)
    for handout in in_turn:
        by_record[handout.household_id].append(handout)
    if len(by_record) == 1:
        return verdicts
    alone: dict[UUID, Allotment] = {}
    for own in by_record.values():
        alone |= _fold(own, circumstances, book)
    return {event: _merged(verdict, alone[event]) for event, verdict in verdicts.items()}


def _merged(together: Allotment, alone: Allotment) -> Allotment:
    """A bin outside the rule only because two records turned out to be one household says so."""
    if together.kind != Kind.SECOND_BIN or alone.slot is None:
        return together
    return Allotment(kind=Kind.MERGED, about=together.about)


def _fold(in_turn: Sequence[Handout], circumstances: Circumstances, book: RuleBook) -> dict[UUID, Allotment]:
    held = [Held(day) for day in circumstances.carried_on]
    replacements = defaultdict(list)
    for one in in_turn:
        if one.replaces_id and one.voided_at is None:
            replacements[one.replaces_id].append(one)
    verdicts: dict[UUID, Allotment] = {}
    for handout in in_turn:
        rule = book.in_force(circumstances.jurisdiction_id, handout.handed_on)
        verdict = _verdict(handout, rule, circumstances, book, held)
        verdicts[handout.event_id] = verdict
        if verdict.slot is not None or verdict.kind == Kind.OUTSIDE_AREA:
            freed_on = _all_back_on(handout, replacements) if rule.return_frees_slot else None
            held.append(Held(handout.handed_on, verdict.slot, freed_on))
            if freed_on and verdict.slot is not None:
                verdicts[handout.event_id] = Allotment()
    return verdicts


def _all_back_on(handout: Handout, replacements: Mapping[int, Sequence[Handout]]) -> date | None:
    """The day on which a bin and all that replaced it were back or scrapped; none while one of them is out."""
    chain = [handout]
    for one in chain:
        chain += replacements.get(one.pk, ())
    known = [one.returned_on for one in chain if one.returned_on is not None]
    return max(known) if len(known) == len(chain) else None


def _verdict(
    handout: Handout, rule: RuleVersion, circumstances: Circumstances, book: RuleBook, held: list[Held]
) -> Allotment:
    if not needs_a_place(handout):
        return Allotment()
    if is_ruled_on(handout):
        return Allotment(kind=handout.exception.kind, about=handout.exception.about)  # type: ignore[union-attr]
    return place_for(handout.handed_on, rule, circumstances, book, held)


def place_for(
    on: date, rule: RuleVersion, circumstances: Circumstances, book: RuleBook, held: Iterable[Held]
) -> Allotment:
    """What a subsidised bin handed out on that day would be, beside those held."""
    window_from = book.window_from(rule, circumstances.jurisdiction_id, on)
    counting = [one for one in held if one.counts(window_from, on)]
    is_outside = rule.served_places_only and circumstances.jurisdiction_id is None
    if len(counting) >= rule.slots:
        return Allotment(kind=Kind.SECOND_BIN, about=_about_second(counting[0].handed_on))
    if is_outside:
        return Allotment(kind=Kind.OUTSIDE_AREA, about=_("The address is in none of the places served."))
    taken = {one.slot for one in counting}
    slot = next(number for number in range(1, rule.slots + 1) if number not in taken)
    return Allotment(slot, rule.slots, window_from, rule.allowance)


def _about_second(first_on: date) -> str:
    return _("The household had its bin on %(day)s.") % {"day": date_format(first_on, "j F Y")}


def needs_a_place(handout: Handout) -> bool:
    """A subsidised bin that stands and replaces no other."""
    return handout.is_subsidised and handout.voided_at is None and handout.replaces_id is None


def is_ruled_on(handout: Handout) -> bool:
    """Someone has given the reason for this one; that stands."""
    return handout.exception_id is not None and bool(handout.exception.reason)  # type: ignore[union-attr]
