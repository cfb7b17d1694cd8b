"""Why a figure changed between two periods or two filings, split into parts that add up exactly (Shapley).

Arithmetic is in whole fractions: what is added up is added up to the last digit, and no order of the parts is
preferred. Rounding for print shares out what it makes, so that printed parts add up as well.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import combinations
from typing import TypeVar

from diversion.errors import DiversionError, require_within
from diversion.materials import Material
from diversion.settings import DECIMAL_BASE, MOST_BRIDGE_PARTS

Side = TypeVar("Side")
MATERIALS = (Material.FOOD, Material.YARD)


class TooManyParts(DiversionError):
    """A bridge of so many parts would need too many evaluations; join some."""

    def __init__(self, *, parts: int, most: int = MOST_BRIDGE_PARTS) -> None:
        self.parts, self.most = parts, most
        super().__init__(f"A bridge of {parts} parts is too long. Join some of them, to {most} at most.")


@dataclass(frozen=True, slots=True, kw_only=True)
class BridgePart:
    """What one cause adds to a figure, negative where it takes away, exact."""

    name: str
    change: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Bridge:
    """A change and its parts; `before` plus all changes is `after`, exactly.

    Parameters
    ----------
    before, after : Fraction
        In the unit of the figure.
    parts : tuple of BridgePart
    """

    before: Fraction
    after: Fraction
    parts: tuple[BridgePart, ...]

    @property
    def change(self) -> Fraction:
        """After less before."""
        return self.after - self.before

    def rounded(self, decimals: int) -> "RoundedBridge":
        """The bridge as printed with so many decimals; its parts add up to the last digit as well.

        Each number is rounded half to even; the units that are then missing go to the parts with the
        largest rounding error, the first of equals first.
        """
        unit = Fraction(1, DECIMAL_BASE**decimals)
        before, after = round(self.before / unit), round(self.after / unit)
        exact = [part.change / unit for part in self.parts]
        units = [round(change) for change in exact]
        missing = after - before - sum(units)
        step = 1 if missing > 0 else -1
        by_error = sorted(range(len(units)), key=lambda at: (units[at] - exact[at]) * step)
        for at in by_error[: abs(missing)]:
            units[at] += step
        return RoundedBridge(
            before=_decimal(before, decimals),
            after=_decimal(after, decimals),
            parts=tuple(
                (part.name, _decimal(number, decimals))
                for part, number in zip(self.parts, units, strict=True)
            ),
        )


def _decimal(units: int, decimals: int) -> Decimal:
    return Decimal(units).scaleb(-decimals)


@dataclass(frozen=True, slots=True, kw_only=True)
class RoundedBridge:
    """A bridge as printed: `before` plus all parts is `after`, in the digits shown."""

    before: Decimal
    after: Decimal
    parts: tuple[tuple[str, Decimal], ...]


def shapley(
    causes: Mapping[str, tuple[Side, Side]], evaluate: Callable[[Mapping[str, Side]], Fraction | float]
) -> Bridge:
    """Split the change of any figure over its causes.

    Parameters
    ----------
    causes : mapping of str to (before, after), n <= 8
        What changed, each with its value on both sides.
    evaluate : callable
        From one value for each cause to the figure; called 2**n times.

    Returns
    -------
    Bridge
        A cause that did not change the figure in any company has part 0.

    Raises
    ------
    TooManyParts

    Source
    ------
    Shapley (1953), A value for n-person games: the mean, over all orders in which the causes may change, of
    what each adds when its turn comes.
    """
    names = tuple(causes)
    if len(names) > MOST_BRIDGE_PARTS:
        raise TooManyParts(parts=len(names))
    values = {
        frozenset(changed): Fraction(evaluate({name: causes[name][name in changed] for name in names}))
        for size in range(len(names) + 1)
        for changed in combinations(names, size)
    }
    return Bridge(
        before=values[frozenset()],
        after=values[frozenset(names)],
        parts=tuple(BridgePart(name=name, change=_part(name, names, values)) for name in names),
    )


def _part(name: str, names: tuple[str, ...], values: Mapping[frozenset[str], Fraction]) -> Fraction:
    n = len(names)
    return sum(
        (
            Fraction(math.factorial(len(others)) * math.factorial(n - len(others) - 1), math.factorial(n))
            * (values[others | {name}] - values[others])
            for others in values
            if name not in others
        ),
        start=Fraction(0),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Drivers:
    """What a figure of one period is the product of, by material where they differ.

    Parameters
    ----------
    households : int
        With a bin in the period, at least 1.
    weeks_per_household : float
        Mean exposure. [weeks]
    litres_per_household_week, kg_per_household_week : mapping of Material to float
        Estimated means of what was reported by volume and by weight, over all households.
    kg_per_litre : mapping of Material to float
        Density or weigh-ins.
    figure_per_kg : mapping of Material to float
        What a kilogram counts in the figure: 0.001 for tonnes, less for landfill-bound tonnes, kg CH4 or
        CO2e.
    """

    households: int
    weeks_per_household: float
    litres_per_household_week: Mapping[Material, float]
    kg_per_household_week: Mapping[Material, float]
    kg_per_litre: Mapping[Material, float]
    figure_per_kg: Mapping[Material, float]

    def __post_init__(self) -> None:
        require_within("households", self.households, 1)
        require_within("weeks_per_household", self.weeks_per_household, 0)
        for table in (self.litres_per_household_week, self.kg_per_household_week, self.kg_per_litre):
            for material in MATERIALS:
                require_within(f"amount of {material}", table[material], 0)
        for material in MATERIALS:
            require_within(f"figure per kg of {material}", self.figure_per_kg[material], -math.inf)


MORE_HOUSEHOLDS = "more or fewer households"
LONGER_HOLDING = "bins held longer or shorter"
ANSWERS = "what households answered"
CALIBRATION = "weigh-ins or density"
METHOD = "factors or method"


def bridge(before: Drivers, after: Drivers) -> Bridge:
    """Split the change of a figure into households, holding, answers, calibration, and factors or method.

    Parameters
    ----------
    before, after : Drivers

    Returns
    -------
    Bridge
        Five parts in that order.
    """
    causes = {
        MORE_HOUSEHOLDS: (before, after),
        LONGER_HOLDING: (before, after),
        ANSWERS: (before, after),
        CALIBRATION: (before, after),
        METHOD: (before, after),
    }
    return shapley(causes, _figure)


def _figure(sides: Mapping[str, Drivers]) -> Fraction:
    answers = sides[ANSWERS]
    per_week = sum(
        (
            (
                Fraction(answers.litres_per_household_week[material])
                * Fraction(sides[CALIBRATION].kg_per_litre[material])
                + Fraction(answers.kg_per_household_week[material])
            )
            * Fraction(sides[METHOD].figure_per_kg[material])
            for material in MATERIALS
        ),
        start=Fraction(0),
    )
    weeks = sides[MORE_HOUSEHOLDS].households * Fraction(sides[LONGER_HOLDING].weeks_per_household)
    return weeks * per_week
