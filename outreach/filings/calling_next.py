"""Which households to call next: those whose answer would narrow the interval of the open quarter most.

Strata are those of the estimate; within one, the order is shuffled, so that no street goes before another.
"""

import itertools
from collections import defaultdict, deque
from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import date

from django.db import connection

from diversion import account_planning
from diversion.inputs import AccountInputs, Quarter, QuarterCells
from diversion.quarter_rates import cell_counts
from diversion.strata import CellKey, Group, TooFewAnswers, join
from outreach.filings import gather_sql, gathering, method, periods, weighed
from outreach.filings.gathering import Codes, Scope
from outreach.filings.sections.parts import BANDS
from outreach.filings.shown import FAMILY_WORDS
from outreach.followup.models import Answer
from outreach.households.models import Household

MOST_CALLS = 100


@dataclass(frozen=True, kw_only=True)
class Call:
    """One household to call: its place in the order, and the stratum that its answer would speak for."""

    place: int
    household: Household
    stratum: str


@dataclass(frozen=True, kw_only=True)
class CallList:
    """The calls in order, and why they are in none where there is no estimate yet."""

    quarter: str
    calls: tuple[Call, ...]
    no_order_reason: str = ""


def calls_next(
    *, scope: Scope, on: date, most: int = MOST_CALLS, but: Collection[int] = frozenset()
) -> CallList:
    """The households to call next for the quarter that is running, the most useful first; `but` some of them."""
    quarter = periods.quarter_of(on)
    # So many more are looked at, lest those who are left out leave the list short.
    found = _waiting(quarter, scope=scope, on=on, most=most + len(but))
    waiting = {key: [one for one in numbers if one not in but] for key, numbers in found.items()}
    cells = gathering.gather_quarter(quarter, scope=scope, cut_off=on)
    try:
        chosen, reason = list(_ordered(cells, waiting, scope=scope, on=on)), ""
    except TooFewAnswers as why:
        chosen, reason = [(household, key) for key in waiting for household in waiting[key]], str(why)
    chosen = chosen[:most]
    households = (
        Household.objects.with_people().select_related("jurisdiction").in_bulk([one for one, _ in chosen])
    )
    return CallList(
        quarter=str(quarter),
        calls=tuple(
            Call(place=place, household=households[household], stratum=_words(key))
            for place, (household, key) in enumerate(chosen, start=1)
        ),
        no_order_reason=reason,
    )


def _words(key: CellKey) -> str:
    return f"{FAMILY_WORDS[key.family]}, {BANDS[key.band]}"


def _ordered(
    cells: QuarterCells, waiting: dict[CellKey, list[int]], *, scope: Scope, on: date
) -> Iterator[tuple[int, CellKey]]:
    inputs = AccountInputs(
        quarters=(cells,),
        jurisdictions=tuple(method.landfill_of(one) for one in scope.jurisdictions),
        factors=method.factor_set_from({}),
        quits=gathering.gather_quits(scope=scope, cut_off=on),
        **weighed.calibrations(weighed.gather_weighed(cut_off=on)),
    )
    left = [deque(_of_group(group, waiting)) for group in join(cell_counts(cells))]
    for number in account_planning.call_order_next(inputs, calls=sum(map(len, left))):
        # Where an answer waits in review there are fewer households to call than have none in force.
        if left[number]:
            yield left[number].popleft()
    # Where nothing is composted no answer narrows anything; they come last.
    yield from itertools.chain.from_iterable(left)


def _of_group(group: Group, waiting: dict[CellKey, list[int]]) -> list[tuple[int, CellKey]]:
    """The households of a group's strata, in turn, each stratum in its shuffled order."""
    return [(household, cell.key) for cell in group.cells for household in waiting.get(cell.key, [])]


def _waiting(quarter: Quarter, *, scope: Scope, on: date, most: int) -> dict[CellKey, list[int]]:
    """Households without an answer, by stratum; one that waits in review has answered."""
    values = gathering.parameters(periods.whole(quarter), scope=scope, cut_off=on)
    values |= {"most": most, "shuffle": quarter.index}
    codes = Codes.load()
    with connection.cursor() as cursor:
        cursor.execute(gather_sql.unanswered_query(scoped=scope.is_one), values)
        rows = [tuple(map(int, row)) for row in cursor.fetchall()]
    answered = Answer.objects.in_review().order_by().values_list("counted_under", flat=True)
    in_review = set(answered.filter(counted_under__in=[row[0] for row in rows]))
    found: dict[CellKey, list[int]] = defaultdict(list)
    for household, jurisdiction, family, band in rows:
        if household not in in_review:
            key = CellKey(
                jurisdiction=codes.jurisdictions[jurisdiction], family=gather_sql.FAMILIES[family], band=band
            )
            found[key].append(household)
    return found
