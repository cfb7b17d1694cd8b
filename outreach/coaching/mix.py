"""The recipe desk's sums: how much brown for so much green, and what the mixture is like.

By volume first, as people work; carbon, nitrogen and water by mass balance. An average of C:N ratios is no
mass balance: it forgets that a litre of grass holds more nitrogen than a litre of leaves. Pure: no Django.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from diversion.errors import DiversionError, require_within
from outreach.coaching.published import Feedstock, Kind, Known, Saying, published

LITRES_PER_M2_INCH = 25.4  # an inch of 25.4 mm over one square metre, exact
MOST_LITRES = 20_000  # above it, a home pile is not what is meant
WHOLE_PERCENT = 100
POTTING_PARTS = 4  # one part in four: common practice, no source


class NothingToMix(DiversionError):
    """No amount above 0 was given, so there is no mixture."""

    def __init__(self) -> None:
        super().__init__("Nothing to mix yet. Give at least one material and how much of it.")


class CannotReach(DiversionError):
    """No amount of the second material brings the first to the goal."""

    def __init__(self, *, what: str, goal: float, first: float, second: float) -> None:
        self.goal, self.first, self.second = goal, first, second
        super().__init__(
            f"{what} of {goal:g} cannot be reached from {first:g} by adding something of {second:g}: "
            "the goal must lie between the two. Choose another material or another goal."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Span:
    """A result with its range, in the unit of the field that holds it."""

    low: float
    typical: float
    high: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Batch:
    """So much of a material of known make-up.

    kg : wet mass, from 0 up. [kg]  moisture_percent : water, 0 to 100. [% of wet mass]
    carbon_percent, nitrogen_percent : in the dry matter, 0 to 100. [% of dry mass]
    """

    kg: float
    moisture_percent: float
    carbon_percent: float = 0.0
    nitrogen_percent: float = 0.0

    def __post_init__(self) -> None:
        require_within("mass in kg", self.kg, 0)
        for name in ("moisture_percent", "carbon_percent", "nitrogen_percent"):
            require_within(name, getattr(self, name), 0, WHOLE_PERCENT)

    @property
    def dry_kg(self) -> float:
        """What is left when the water is gone. [kg]"""
        return self.kg * (1 - self.moisture_percent / WHOLE_PERCENT)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """So many litres of a feedstock, as filled into a container. [L]"""

    feedstock: Feedstock
    litres: float

    def __post_init__(self) -> None:
        require_within(f"litres of {self.feedstock.name}", self.litres, 0, MOST_LITRES)

    @property
    def batch(self) -> Batch:
        """The same by mass, at typical values."""
        of = self.feedstock
        return Batch(
            kg=self.litres * of.kg_per_litre.typical,
            moisture_percent=of.moisture_percent.typical,
            carbon_percent=of.carbon_percent,
            nitrogen_percent=of.nitrogen_percent.typical,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Mix:
    """What parts make together: litres put in [L], wet mass [kg], water [% of wet mass], C:N by mass [1]."""

    litres: float
    kg: Span
    moisture_percent: Span
    carbon_to_nitrogen: Span
    limits: tuple[Saying, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Harvest:
    """Compost to expect [L], beds it covers an inch deep [m²], potting mix of one part in four [L]."""

    litres: Span
    bed_m2: Span
    potting_litres: Span


def moisture_of(batches: Sequence[Batch]) -> float:
    """Water of a mixture, ΣQM/ΣQ. [% of wet mass]

    Source: Cornell Composting, 'Calculating moisture' (worked example in the tests).
    """
    if not (total := sum(batch.kg for batch in batches)):
        raise NothingToMix
    return sum(batch.kg * batch.moisture_percent for batch in batches) / total


def carbon_to_nitrogen_of(batches: Sequence[Batch]) -> float:
    """C:N of a mixture by mass, ΣQ(100−M)C / ΣQ(100−M)N. [1]

    Source: Cornell Composting, compost.css.cornell.edu/calc/2.html: variables seen, algebra from memory.
    """
    nitrogen = sum(batch.dry_kg * batch.nitrogen_percent for batch in batches)
    if not nitrogen:
        raise NothingToMix
    return sum(batch.dry_kg * batch.carbon_percent for batch in batches) / nitrogen


def dry_needed(wet: Batch, *, dry_moisture_percent: float, goal_percent: float) -> float:
    """Mass of a drier material that brings a wet one to a goal, Q₂ = (Q₁G − Q₁M₁)/(M₂ − G). [kg]

    Raises `CannotReach` unless the goal lies between the two, `OutOfRange` where it is no percentage.
    Source: Cornell Composting, moisture worked example: 10 kg of grass want 6.8 kg of leaves.
    """
    require_within("moisture goal in %", goal_percent, 0, WHOLE_PERCENT)
    require_within("moisture in %", dry_moisture_percent, 0, WHOLE_PERCENT)
    if not dry_moisture_percent < goal_percent <= wet.moisture_percent:
        raise CannotReach(
            what="A moisture in %", goal=goal_percent, first=wet.moisture_percent, second=dry_moisture_percent
        )
    return wet.kg * (wet.moisture_percent - goal_percent) / (goal_percent - dry_moisture_percent)


def carbon_needed(green: Batch, brown: Batch, *, goal: float) -> float:
    """Wet mass of a brown that brings a green to a C:N of `goal`; the mass of `brown` plays no part. [kg]

    Raises `CannotReach` unless the goal lies between the two.
    Source: Cornell Composting, calc/cn_ratio.html, from memory: 10 kg of grass want 3.5 kg of leaves.
    """
    lacking = green.dry_kg * (goal * green.nitrogen_percent - green.carbon_percent)
    brought = (1 - brown.moisture_percent / WHOLE_PERCENT) * (
        brown.carbon_percent - goal * brown.nitrogen_percent
    )
    if lacking < 0 or brought <= 0:
        first, second = (one.carbon_percent / (one.nitrogen_percent or 1e-9) for one in (green, brown))
        raise CannotReach(what="A C:N", goal=goal, first=first, second=second)
    return lacking / brought


def mix(parts: Iterable[Part]) -> Mix:
    """The mixture of some parts, at typical values and as far as the published ranges let it lie.

    Limits are those of its feedstocks; one with a share counts only where the volume passes that share.
    Raises `NothingToMix` if there is nothing above 0 litres.
    """
    used = [part for part in parts if part.litres]
    if not used:
        raise NothingToMix
    litres = sum(part.litres for part in used)
    batches = [part.batch for part in used]
    return Mix(
        litres=litres,
        kg=_mass(used),
        moisture_percent=_weighted(used, "moisture_percent", moisture_of(batches)),
        carbon_to_nitrogen=_weighted(used, "carbon_to_nitrogen", carbon_to_nitrogen_of(batches)),
        limits=_limits(used, litres),
    )


def browns_for(
    greens: Iterable[Part], *, in_hand: Iterable[Part] = (), per_green: float | None = None
) -> Span:
    """Browns to add to some greens, by volume. [L]

    Parameters
    ----------
    greens : parts that are green; browns among them raise ValueError.
    in_hand : browns already counted on, taken off the result, never below 0.
    per_green : the programme's own rule, parts of brown to one of green by volume, 0.25 to 10; without it
        two, which is common practice without a source. The range is that of published guidance, 1 to 5,
        widened where the programme's rule lies outside of it.
    """
    greens, in_hand = list(greens), list(in_hand)
    if any(part.feedstock.kind is not Kind.GREEN for part in greens):
        raise ValueError("Browns were given as greens. Give them as in_hand.")
    volume = sum(part.litres for part in greens)
    if not volume:
        raise NothingToMix
    known = published().guidance["browns_per_green"]
    rule = known.typical if per_green is None else per_green
    require_within("parts of brown to one of green", rule, 0.25, 10)
    have = sum(part.litres for part in in_hand)
    low, typical, high = (
        max(0.0, volume * ratio - have) for ratio in (min(known.low, rule), rule, max(known.high, rule))
    )
    return Span(low=low, typical=typical, high=high)


def harvest_of(litres: float) -> Harvest:
    """What so many litres put in leave as compost, and what that covers.

    The share left is a range of sources that differ (published.toml, `volume_left`); one inch on beds and one
    part in four of a potting mix are common practice without a source.
    """
    require_within("litres put in", litres, 0, 10 * MOST_LITRES)
    left = published().guidance["volume_left"]
    compost = _scaled(left, litres)
    return Harvest(
        litres=compost,
        bed_m2=_scaled(compost, 1 / LITRES_PER_M2_INCH),
        potting_litres=_scaled(compost, POTTING_PARTS),
    )


def _scaled(span: Span | Known, by: float) -> Span:
    return Span(low=span.low * by, typical=span.typical * by, high=span.high * by)


def _mass(parts: Sequence[Part]) -> Span:
    low, typical, high = (
        sum(part.litres * getattr(part.feedstock.kg_per_litre, end) for part in parts)
        for end in ("low", "typical", "high")
    )
    return Span(low=low, typical=typical, high=high)


def _weighted(parts: Sequence[Part], name: str, typical: float) -> Span:
    """How far a mean of `name` can lie when each value and each weight is anywhere in its range."""
    weigh = _nitrogen if name == "carbon_to_nitrogen" else _wet
    weights = [(weigh(part, "low"), weigh(part, "high")) for part in parts]
    lows, highs = ([getattr(getattr(p.feedstock, name), end) for p in parts] for end in ("low", "high"))
    return Span(
        low=_least_mean(lows, weights), typical=typical, high=-_least_mean([-v for v in highs], weights)
    )


def _least_mean(values: Sequence[float], weights: Sequence[tuple[float, float]]) -> float:
    """Least weighted mean with weights in boxes: the smallest values take their most, the others their least."""
    ranked = sorted(zip(values, weights, strict=True))
    means = []
    for split in range(1, len(ranked) + 1):
        chosen = [w[1] if place < split else w[0] for place, (_, w) in enumerate(ranked)]
        means.append(sum(w * v for w, (v, _) in zip(chosen, ranked, strict=True)) / sum(chosen))
    return min(means)


def _wet(part: Part, end: str) -> float:
    return part.litres * float(getattr(part.feedstock.kg_per_litre, end))


def _nitrogen(part: Part, end: str) -> float:
    """Nitrogen the part may hold at least or at most; the wettest has the least dry matter. [kg]"""
    of = part.feedstock
    water = of.moisture_percent.high if end == "low" else of.moisture_percent.low
    return _wet(part, end) * (1 - water / WHOLE_PERCENT) * float(getattr(of.nitrogen_percent, end))


def _limits(parts: Sequence[Part], litres: float) -> tuple[Saying, ...]:
    share: dict[Saying, float] = {}
    for part in parts:
        if limit := part.feedstock.limit:
            share[limit] = share.get(limit, 0.0) + part.litres / litres
    return tuple(limit for limit, has in share.items() if limit.most is None or has > limit.most)
