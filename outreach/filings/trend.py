"""Tonnes kept out of landfill quarter by quarter: as filed, and all of them with today's factors and method.

A filing is worked out again from the sums that were frozen with it, so a moved figure tells of factors and method
alone, never of records that were mended since. Where a landfill stands and what share of trash goes there stay as
they were filed: that may have been otherwise then.
"""

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import Any

from diversion import account
from diversion.account import DiversionAccount
from diversion.figures import Measure
from diversion.inputs import AccountInputs
from outreach.filings import frozen_inputs
from outreach.filings.frozen_inputs import FactorsChanged
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing


@dataclass(frozen=True, slots=True, kw_only=True)
class Ranged:
    """Tonnes with the range that is said aloud; no limits where none was worked out. [t]"""

    tonnes: float
    lower: float | None = None
    upper: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TrendPoint:
    """One quarter. `filed` is None where no filing stands, `today` where its sums cannot be worked out again."""

    quarter: str
    filed: Ranged | None
    today: Ranged | None


def trend(scope: Scope, *, inputs: AccountInputs, computed: DiversionAccount) -> tuple[TrendPoint, ...]:
    """Every quarter until the filed one; `inputs` and `computed` are those of the filing at hand.

    A quarter that no filing of this very scope stands for has one value and no range: what filings of other scopes
    say of it, or else what the records of today give.
    """
    standing = Filing.objects.saying_something_of(scope.jurisdiction).standing()
    own = {_quarter_of(one): one for one in standing.filter(jurisdiction=scope.jurisdiction)}
    others = {_quarter_of(one) for one in standing.without_contents()} - set(own)
    return tuple(
        _point(quarter, tonnes, filed=own.get(quarter), is_filed=quarter in others, inputs=inputs)
        if quarter != _only_quarter(inputs) or not computed.estimated
        else _at_hand(quarter, computed)
        for quarter, tonnes in _by_quarter(inputs, computed)
    )


def _by_quarter(inputs: AccountInputs, computed: DiversionAccount) -> list[tuple[str, float]]:
    tonnes: dict[str, float] = defaultdict(float)
    for past in inputs.earlier:
        tonnes[str(past.quarter)] += past.landfill_bound_tonnes
    for now in computed.landfill_bound:
        tonnes[now.quarter] += now.tonnes
    return sorted(tonnes.items())


def _only_quarter(inputs: AccountInputs) -> str:
    """The quarter that is filed; '' where the period is more than one, or a part of one."""
    only = inputs.quarters[0]
    return str(only.quarter) if len(inputs.quarters) == 1 and not only.span else ""


def _at_hand(quarter: str, computed: DiversionAccount) -> TrendPoint:
    figure = computed.figure(Measure.LANDFILL_BOUND)
    now = Ranged(tonnes=figure.headline.value, lower=figure.said_lower, upper=figure.said_upper)
    return TrendPoint(quarter=quarter, filed=now, today=now)


def _point(
    quarter: str, tonnes: float, *, filed: Filing | None, is_filed: bool, inputs: AccountInputs
) -> TrendPoint:
    if filed is None or not filed.is_estimated:
        known = Ranged(tonnes=tonnes)
        return TrendPoint(
            quarter=quarter, filed=known if is_filed else None, today=None if is_filed else known
        )
    said = _ranged(filed.report["account"]["period"]["figures"])
    return TrendPoint(quarter=quarter, filed=said, today=_again(filed, inputs, said))


def _again(filing: Filing, inputs: AccountInputs, said: Ranged | None) -> Ranged | None:
    """The filing's frozen sums with the factors, weigh-ins and settings of today."""
    try:
        frozen = frozen_inputs.from_dict(filing.inputs["period"])
    except FactorsChanged:
        return None
    today: dict[str, Any] = {
        "factors": inputs.factors,
        "settings": inputs.settings,
        "food_weighed": inputs.food_weighed,
        "yard_weighed": inputs.yard_weighed,
    }
    if all(getattr(frozen, name) == value for name, value in today.items()):
        return said
    done = account.compute(replace(frozen, **today))
    return _at_hand("", done).today if done.estimated else None


def _ranged(figures: list[dict[str, Any]]) -> Ranged | None:
    for one in figures:
        if (one["name"], one["stream"]) == (str(Measure.LANDFILL_BOUND), "both"):
            value = one["headline"]["value"]
            return Ranged(tonnes=value, lower=one["said_lower"], upper=one["said_upper"])
    return None


def _quarter_of(filing: Filing) -> str:
    """The calendar quarter whose very days it is about; '' for another period."""
    slices = filing.filed_period.slices
    return str(slices[0].quarter) if len(slices) == 1 and not slices[0].span else ""
