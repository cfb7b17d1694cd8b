"""Write what the rule says of handouts: who holds a place, who is an exception; called under the lock."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import date
from uuid import UUID

from outreach.bins.allotment import Allotment, Circumstances, allot, is_ruled_on
from outreach.bins.chunks import in_chunks
from outreach.bins.models import CarriedBin, Handout, RuleException
from outreach.bins.recorder import Recorder
from outreach.bins.rule_book import RuleBook
from outreach.households.models import Household

PLACE_FIELDS = ("slot", "slots", "window_from_on", "allowance")
# Rows that swap places wait under this name, since a place holds one of them at a time.
WAITING = "~waiting"


def locked_roots(household_ids: Iterable[int]) -> dict[int, Household]:
    """Each household's root, after locking both; the order of locks is that of their numbers."""
    wanted = set(household_ids)
    into = _merged_into(wanted)
    found: dict[int, Household] = {}
    for ids in in_chunks(sorted(into)):
        for household in Household.objects.select_for_update(of=("self",)).filter(pk__in=ids).order_by("pk"):
            found[household.pk] = household
    return {pk: _root(pk, found) for pk in wanted}


def _merged_into(wanted: set[int]) -> dict[int, int | None]:
    """Where each was merged into, and where that one was, up to the roots."""
    into: dict[int, int | None] = {}
    unread = set(wanted)
    while unread:
        for ids in in_chunks(sorted(unread)):
            into |= dict(Household.objects.filter(pk__in=ids).values_list("pk", "merged_into_id"))
        unread = {pk for pk in into.values() if pk is not None} - into.keys()
    return into


def _root(pk: int, found: dict[int, Household]) -> Household:
    household = found[pk]
    while household.merged_into_id is not None:
        household = found[household.merged_into_id]
    return household


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


def settle(roots: Iterable[Household], recorder: Recorder, new: Sequence[Handout] = ()) -> None:
    """Fold every handout of these households again, the unsaved new ones too, and write what changed."""
    known, verdicts = verdicts_of(roots, new)
    write(known, new, verdicts, recorder)
    Handout.objects.bulk_create(new, batch_size=1000)


def verdicts_of(
    roots: Iterable[Household], new: Sequence[Handout] = ()
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
    if not verdict.kind:
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
    RuleException.objects.bulk_update(reworded, ["kind", "about"], batch_size=500)
    for handout in handouts:
        if handout.exception is not None:
            handout.exception_id = handout.exception.pk


def _write_changed(changed: Sequence[Handout]) -> None:
    losing = [handout for handout in changed if handout.slot is None]
    holding = [handout for handout in changed if handout.slot is not None]
    fields = [*PLACE_FIELDS, "exception"]
    Handout.objects.bulk_update(losing, fields, batch_size=500)
    for ids in in_chunks([handout.pk for handout in holding]):
        Handout.objects.filter(pk__in=ids, slot__isnull=False).update(allowance=WAITING)
    Handout.objects.bulk_update(holding, fields, batch_size=500)
