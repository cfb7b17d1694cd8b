"""Uncertainty of the figures, factors included: seeded draws, intervals and what makes the spread (step 12).

Household totals are jointly log-normal around their estimates; factors are triangular over their published range, one
draw for all strata; DOCf, warming potentials and horizon are scenarios and are not drawn. What is left out:
households that did not answer, which the range under silence is for.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.draw_inputs import DrawInputs
from diversion.drawing import Array, DesignOf
from diversion.effects import drawn_effects
from diversion.figures import Measure, Stream
from diversion.lattice import Lattice
from diversion.outputs import FIGURES, central_effects, evaluate
from diversion.settings import CONFIDENCE, DRAWS, SHARES_EVERY
from diversion.variance_shares import Effects, VarianceShares, variance_shares

CONDITION = "if the silent are like those who answered"


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnFigure:
    """One figure with its interval over sampling and factors together.

    Parameters
    ----------
    name : str
        A `Measure`, or 'methane_lifetime', 'process', 'net'.
    stream : Stream
    unit : str
        't', 'kg CH4' or 't CO2e'.
    central : float
        At central values: what is filed.
    median, mean : float
        Of the draws; skewed ranges put them beside the central value.
    lower, upper : float
        90 % limits, given the `condition` of `DrawnFigures`.
    shares : VarianceShares
        Which group of draws makes how much of the variance.
    """

    name: str
    stream: Stream
    unit: str
    central: float
    median: float
    mean: float
    lower: float
    upper: float
    shares: VarianceShares


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnFigures:
    """All drawn figures of a period, with what it takes to draw them again.

    Parameters
    ----------
    figures : tuple of DrawnFigure
    seed, count : int
    generator : str
        Name of the bit generator whose raw words were used.
    condition : str
        What the limits are given, in words.
    """

    figures: tuple[DrawnFigure, ...]
    seed: int
    count: int
    generator: str = "PCG64"
    condition: str = CONDITION

    def figure(self, name: Measure | str, stream: Stream | str = Stream.BOTH) -> DrawnFigure:
        """The figure of that name and stream; KeyError where there is none."""
        for figure in self.figures:
            if (figure.name, figure.stream) == (str(name), str(stream)):
                return figure
        raise KeyError((name, stream))


def draw(
    inputs: DrawInputs, *, seed: int, count: int = DRAWS, design_of: DesignOf = Lattice.of
) -> DrawnFigures:
    """Draw every figure of a period.

    Parameters
    ----------
    inputs : DrawInputs
    seed : int
        At least 0; the same seed gives the same figures. A filing keeps it.
    count : int
        Draws, 2 to 1,000,000.
    design_of : callable
        Lays out the draws; filings of the first two versions of the method have another.

    Returns
    -------
    DrawnFigures

    Raises
    ------
    OutOfRange
        If seed or count are outside their range.

    Source
    ------
    Propagation of distributions: JCGM 101:2008, with the draws of `lattice`.
    """
    effects = drawn_effects(inputs, seed=seed, count=count, design_of=design_of)
    drawn = evaluate(inputs, effects)
    central = evaluate(inputs, central_effects(inputs))
    shares = variance_shares(lambda some: evaluate(inputs, some), _for_shares(effects, count))
    return DrawnFigures(
        figures=tuple(
            _figure(
                FIGURES[number],
                float(central[number][0]),
                np.broadcast_to(drawn[number], count),
                shares[number],
            )
            for number in range(len(FIGURES))
        ),
        seed=seed,
        count=count,
    )


def _for_shares(effects: Effects, count: int) -> Effects:
    """The draws that tell of shares: every few of many, which are a lattice of their own."""
    if count < DRAWS:
        return effects
    return {group: np.ascontiguousarray(effect[..., ::SHARES_EVERY]) for group, effect in effects.items()}


def _figure(
    which: tuple[str, Stream, str], central: float, drawn: Array, shares: VarianceShares
) -> DrawnFigure:
    name, stream, unit = which
    lower, median, upper = quantiles(drawn, [(1 - CONFIDENCE) / 2, 1 / 2, (1 + CONFIDENCE) / 2])
    return DrawnFigure(
        name=name,
        stream=stream,
        unit=unit,
        central=central,
        median=median,
        mean=float(drawn.mean()),
        lower=lower,
        upper=upper,
        shares=shares,
    )


def quantiles(drawn: Array, probabilities: Sequence[float]) -> list[float]:
    """Sample quantiles, interpolated between the two nearest order statistics.

    Parameters
    ----------
    drawn : array, shape (n,), n >= 2
    probabilities : sequence of float
        Each 0 to 1.

    Source
    ------
    Definition 7 of Hyndman and Fan (1996), The American Statistician 50 (4), 361-365.
    """
    places = [probability * (len(drawn) - 1) for probability in probabilities]
    below = [min(int(place), len(drawn) - 2) for place in places]
    ordered = np.partition(drawn, sorted({at for low in below for at in (low, low + 1)}))
    return [
        float(ordered[low] + (place - low) * (ordered[low + 1] - ordered[low]))
        for place, low in zip(places, below, strict=True)
    ]
