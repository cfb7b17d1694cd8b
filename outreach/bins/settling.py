"""Write what the rule says of handouts: who holds a place, who is an exception; called under the lock."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple
from uuid import UUID

from django.db.models import CharField, Value
from django.db.models.functions import Cast, Concat

from outreach.bins.allotment import Allotment, Circumstances, allot, is_ruled_on
from outreach.bins.chunks import in_chunks
from outreach.bins.models import CarriedBin, Handout, RuleException
from outreach.bins.recorder import Recorder
from outreach.bins.rule_book import RuleBook
from outreach.households.models import Household
from outreach.staff import many_rows

PLACE_FIELDS = ("slot", "slots", "window_from_on", "allowance")
# Rows that swap places wait under a name of their own, since a place holds one of them at a time.
WAITING = Concat(Value("~"), Cast("pk", CharField()))


class Root(NamedTuple):
    """What the rule needs to know of the household that rows count under."""

    pk: int
    jurisdiction_id: int | None
    merged_into_id: int | None


def locked_roots(household_ids: Iterable[int]) -> dict[int, Root]:
    """Each household's root, after locking both; the order of locks is that of their numbers."""
    wanted = set(household_ids)
    found: dict[int, Root] = {}
    for ids in in_chunks(sorted(_with_roots(wanted))):
        rows = Household.objects.select_for_update().filter(pk__in=ids).order_by("pk")
        found |= {row[0]: Root(*row) for row in rows.values_list(*Root._fields)}
    return {pk: _root(pk, found) for pk in wanted}


def root_of(household: Household) -> Root:
    """The household's root, not locked: for reading."""
    root = household.counted_under
    return Root(root.pk, root.jurisdiction_id, root.merged_into_id)


def _with_roots(wanted: set[int]) -> set[int]:
    """These households and those they were merged into, up to the roots."""
    into: dict[int, int | None] = {}
    unread = set(wanted)
    while unread:
        for ids in in_chunks(sorted(unread)):
            into |= dict(Household.objects.filter(pk__in=ids).values_list("pk", "merged_into_id"))
        unread = {pk for pk in into.values() if pk is not None} - into.keys()
    return set(into)


def _root(pk: int, found: dict[int, Root]) -> Root:
    root = found[pk]
    while root.merged_into_id is not None:
        root = found[root.merged_into_id]
    return root


def recount(root_id: int, handout_ids: Sequence[int]) -> None:
    """Count these handouts under another household; fold it afterwards, for their places wait until then."""
    for ids in in_chunks(handout_ids):
        handouts = Handout.objects.filter(pk__in=ids)
        handouts.filter(slot__isnull=False).update(allowance=WAITING)
        handouts.update(counted_under=root_id)


def recorded_under(root_ids: Sequence[int]) -> dict[int, list[Handout]]:
    """Standing handouts by the household they count under, with what a person ruled on them."""
    found: dict[int, list[Handout]] = defaultdict(list)
    for ids in in_chunks(root_ids):
        for handout in Handout.objects.standing().filter(counted_under__in=ids).select_related("exception"):
            found[handout.counted_under_id].append(handout)
    return found


def carried_on(root_ids: Sequence[int]) -> dict[int, tuple[date, ...]]:
    """When the bins that households brought along from another address had been handed out."""
    days: dict[int, list[date]] = defaultdict(list)
    for ids in in_chunks(root_ids):
        rows = CarriedBin.objects.filter(counted_under__in=ids, handout__voided_at__isnull=True)
        rows = rows.filter(handout__returned_on__isnull=True).order_by("handout__handed_on")
        for root_id, handed_on in rows.values_list("counted_under", "handout__handed_on"):
            days[root_id].append(handed_on)
    return {root_id: tuple(on) for root_id, on in days.items()}


def settle(roots: Iterable[Root], recorder: Recorder, new: Sequence[Handout] = ()) -> None:
    """Fold every handout of these households again, the unsaved new ones too, and write what changed."""
    known, verdicts = verdicts_of(roots, new)
    write(known, new, verdicts, recorder)
    many_rows.insert(Handout, [vars(handout) for handout in new])
    _number(new)


def _number(new: Sequence[Handout]) -> None:
    """Give just inserted handouts the keys that the database gave them."""
    by_event = {handout.event_id: handout for handout in new}
    for ids in in_chunks(list(by_event)):
        for event_id, pk in Handout.objects.filter(event_id__in=ids).values_list("event_id", "pk"):
            by_event[event_id].pk = pk
            by_event[event_id]._state.adding = False


def verdicts_of(
    roots: Iterable[Root], new: Sequence[Handout] = ()
) -> tuple[list[Handout], dict[UUID, Allotment]]:
    """The recorded handouts of these households, and what each, with the new ones, is under the rule."""
    by_id = {root.pk: root for root in roots}
    known = recorded_under(sorted(by_id))
    carried = carried_on(sorted(by_id))
    fresh: dict[int, list[Handout]] = defaultdict(list)
    for handout in new:
        fresh[handout.counted_under_id].append(handout)
    book = RuleBook.read()
    verdicts: dict[UUID, Allotment] = {}
    for pk, root in by_id.items():
        circumstances = Circumstances(root.jurisdiction_id, carried.get(pk, ()))
        verdicts |= allot([*known[pk], *fresh[pk]], circumstances, book)
    return [handout for handouts in known.values() for handout in handouts], verdicts


def write(
    known: Sequence[Handout], new: Sequence[Handout], verdicts: dict[UUID, Allotment], recorder: Recorder
) -> None:
    """Write what changed of the known, exceptions first; put the verdict on the new, which are not saved."""
    dropped = [handout.exception_id for handout in known if _drops(handout, verdicts[handout.event_id])]
    changed = [handout for handout in known if _differs(handout, verdicts[handout.event_id])]
    _flag([*changed, *new], verdicts, recorder)
    for handout in [*changed, *new]:
        _take(handout, verdicts[handout.event_id])
    _write_changed(changed)
    for ids in in_chunks(dropped):
        RuleException.objects.filter(pk__in=ids).delete()


def _drops(handout: Handout, verdict: Allotment) -> bool:
    return handout.exception_id is not None and not verdict.kind and not is_ruled_on(handout)


def _differs(handout: Handout, verdict: Allotment) -> bool:
    if any(getattr(handout, name) != getattr(verdict, name) for name in PLACE_FIELDS):
        return True
    flag = handout.exception
    return (flag.kind, flag.about) != (verdict.kind, verdict.about) if flag else bool(verdict.kind)


def _take(handout: Handout, verdict: Allotment) -> None:
    for name in PLACE_FIELDS:
        setattr(handout, name, getattr(verdict, name))
    if not verdict.kind and handout.exception_id is not None:
        handout.exception = None


def _flag(handouts: Iterable[Handout], verdicts: dict[UUID, Allotment], recorder: Recorder) -> None:
    """Make or reword the exceptions that the verdicts ask for."""
    made, reworded = [], []
    for handout in handouts:
        verdict = verdicts[handout.event_id]
        if not verdict.kind or is_ruled_on(handout):
            continue
        if handout.exception is None:
            handout.exception = RuleException(
                household_id=handout.household_id, flagged_at=recorder.at, flagged_by=recorder.by
            )
            made.append(handout.exception)
        else:
            reworded.append(handout.exception)
        handout.exception.kind, handout.exception.about = verdict.kind, verdict.about
    RuleException.objects.bulk_create(made, batch_size=1000)
    many_rows.update(RuleException, [vars(flag) for flag in reworded], ("kind", "about"))
    for handout in handouts:
        if handout.exception is not None:
            handout.exception_id = handout.exception.pk


def _write_changed(changed: Sequence[Handout]) -> None:
    losing = [handout for handout in changed if handout.slot is None]
    holding = [handout for handout in changed if handout.slot is not None]
    names = (*PLACE_FIELDS, "exception_id")
    many_rows.update(Handout, [vars(handout) for handout in losing], names)
    for ids in in_chunks([handout.pk for handout in holding]):
        Handout.objects.filter(pk__in=ids, slot__isnull=False).update(allowance=WAITING)
    many_rows.update(Handout, [vars(handout) for handout in holding], names)
