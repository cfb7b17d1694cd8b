"""Stays, made anew from handouts, returns, moves, voids and pauses: the days a household had a bin in use."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, NamedTuple

from django.db import transaction

from outreach.bins import days_off
from outreach.bins.chunks import in_chunks
from outreach.bins.models import BinModel, CarriedBin, Handout, Stay
from outreach.bins.models.handouts import NO_END_DAY
from outreach.bins.spans import Span
from outreach.households.models import Household
from outreach.staff import many_rows

# Ends that a person saw; no handout, return or pause tells them.
SEEN_ENDS = (Stay.Ended.REMOVED,)


_COLUMNS = (
    "counted_under_id",
    "household_id",
    "family",
    "funding_source_id",
    "from_day",
    "until_day",
    "ended_because",
)
# A stay without the household it counts under, in the order of those columns.
Row = tuple[int, str, int | None, int, int, str]


def rebuild(households: Iterable[Household]) -> None:
    """Bring the stays of these households (those they count under) to what the records say."""
    rebuild_roots({household.counted_under.pk for household in households})


@transaction.atomic
def rebuild_roots(root_ids: Iterable[int]) -> None:
    """Write what differs: stays no longer true go, new ones come, the others stay untouched."""
    gone: list[int] = []
    made: list[tuple[int, Row]] = []
    for ids in in_chunks(sorted(set(root_ids))):
        wanted = spans_of(ids)
        known = _known(ids)
        for root_id in ids:
            have, want = known[root_id], [_of_span(span) for span in wanted[root_id]]
            gone += [pk for row, pk in have.items() if row not in want]
            made += [(root_id, row) for row in want if row not in have]
    for ids in in_chunks(gone):
        Stay.objects.filter(pk__in=ids).delete()
    many_rows.insert(Stay, [dict(zip(_COLUMNS, (root_id, *row), strict=True)) for root_id, row in made])


def differences(root_ids: Sequence[int]) -> list[int]:
    """The households whose stays are not what the records say."""
    wanted, known = spans_of(root_ids), _known(root_ids)
    return [
        root_id
        for root_id in root_ids
        if known[root_id].keys() != {_of_span(span) for span in wanted[root_id]}
    ]


def spans_of(root_ids: Sequence[int]) -> dict[int, list[Span]]:
    """The days of use of each household, from everything recorded under it."""
    families = dict(BinModel.objects.values_list("pk", "family"))
    pieces: dict[int, list[Span]] = defaultdict(list)
    handouts = Handout.objects.standing().filter(counted_under__in=root_ids)
    replaced_on = _replaced_on(root_ids)
    for row in handouts.values_list(*_HANDOUT_COLUMNS):
        pieces[row[1]].append(_of_handout(row, families, replaced_on))
    carried = CarriedBin.objects.filter(counted_under__in=root_ids, handout__voided_at__isnull=True)
    for row in carried.values_list(*_CARRIED_COLUMNS):
        pieces[row[1]].append(_of_carried(row, families))
    seen, off = _seen_ends(root_ids), days_off.days_off(root_ids)
    return {
        root_id: list(
            days_off.less((_cut(span, seen[root_id]) for span in _joined(pieces[root_id])), off[root_id])
        )
        for root_id in root_ids
    }


_HANDOUT_COLUMNS = (
    "household_id",
    "counted_under_id",
    "bin_model_id",
    "handed_on",
    "event_id",
    "returned_on",
    "household__ended_on",
    "counted_under__ended_on",
    "pk",
    "order__funding_source_id",
)
_CARRIED_COLUMNS = (
    "household_id",
    "counted_under_id",
    "handout__bin_model_id",
    "moved_on",
    "handout__event_id",
    "handout__returned_on",
    "household__ended_on",
    "counted_under__ended_on",
    "handout__order__funding_source_id",
)


def _of_handout(row: tuple[Any, ...], families: dict[int, str], replaced_on: dict[int, date]) -> Span:
    household_id, _root, model_id, handed_on, event_id, returned_on, own_end, root_end, pk, paid_by = row
    ends = [
        (returned_on, Stay.Ended.RETURNED),
        (replaced_on.get(pk), Stay.Ended.REMOVED),
        (own_end or root_end, Stay.Ended.MOVED),
    ]
    return _span(handed_on, ends, str(event_id), Whose(household_id, families[model_id], paid_by))


def _of_carried(row: tuple[Any, ...], families: dict[int, str]) -> Span:
    household_id, _root, model_id, moved_on, event_id, returned_on, own_end, root_end, paid_by = row
    ends = [(returned_on, Stay.Ended.RETURNED), (own_end or root_end, Stay.Ended.MOVED)]
    return _span(moved_on, ends, str(event_id), Whose(household_id, families[model_id], paid_by))


class Whose(NamedTuple):
    """At which household a bin was in use, of what family, and what paid for it."""

    household_id: int
    family: str
    funding_source_id: int | None


def _span(begun_on: date, ends: Sequence[tuple[date | None, str]], tie: str, whose: Whose) -> Span:
    known = [(day.toordinal(), str(because)) for day, because in ends if day is not None]
    until_day, because = min(known, default=(NO_END_DAY, ""))
    return Span(begun_on.toordinal(), tie, until_day, because, *whose)


def _joined(pieces: Iterable[Span]) -> list[Span]:
    """One span where bins were in use without a day between; two bins count once."""
    spans: list[Span] = []
    for piece in sorted(piece for piece in pieces if piece.from_day < piece.until_day):
        if spans and piece.from_day <= spans[-1].until_day:
            if piece.until_day > spans[-1].until_day:
                spans[-1] = replace(spans[-1], until_day=piece.until_day, because=piece.because)
        else:
            spans.append(piece)
    return spans


def _cut(span: Span, seen: list[tuple[int, str]]) -> Span:
    for until_day, because in seen:
        if span.from_day < until_day < span.until_day:
            return replace(span, until_day=until_day, because=because)
    return span


def _seen_ends(root_ids: Sequence[int]) -> dict[int, list[tuple[int, str]]]:
    seen: dict[int, list[tuple[int, str]]] = defaultdict(list)
    ends = Stay.objects.filter(counted_under__in=root_ids, ended_because__in=SEEN_ENDS).order_by("until_day")
    for root_id, until_day, because in ends.values_list("counted_under", "until_day", "ended_because"):
        seen[root_id].append((until_day, because))
    return seen


def _replaced_on(root_ids: Sequence[int]) -> dict[int, date]:
    rows = Handout.objects.standing().filter(counted_under__in=root_ids, replaces__isnull=False)
    return dict(rows.order_by("-handed_on").values_list("replaces_id", "handed_on"))


def _known(root_ids: Sequence[int]) -> dict[int, dict[Row, int]]:
    """Stays as they are written, each with its number."""
    known: dict[int, dict[Row, int]] = defaultdict(dict)
    stays = Stay.objects.filter(counted_under__in=root_ids)
    for pk, root_id, *row in stays.values_list("pk", *_COLUMNS):
        known[root_id][tuple(row)] = pk
    return known


def _of_span(span: Span) -> Row:
    return (
        span.household_id,
        span.family,
        span.funding_source_id,
        span.from_day,
        span.until_day,
        span.because,
    )
