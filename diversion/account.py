"""Everything together: inputs in, a frozen account with its working out."""

from dataclasses import dataclass
from typing import Any

from diversion.conversions import DAYS_PER_WEEK
from diversion.estimating import Estimation, estimate, landfill_bound, strata
from diversion.figures import (
    Counts,
    Figure,
    LandfillBound,
    Measure,
    Note,
    Part,
    Share,
    Stratum,
    Stream,
    plain,
)
from diversion.inputs import AccountInputs, QuarterCells
from diversion.notes import notes
from diversion.parts import parts, unasked
from diversion.proportions import at_most, wilson
from diversion.steps import counting, working
from diversion.strata import TooFewAnswers
from diversion.working import Working


@dataclass(frozen=True, slots=True, kw_only=True)
class DiversionAccount:
    """What a programme kept out of landfill in a period, with intervals, range under silence and working.

    Parameters
    ----------
    quarters : tuple of str
        The period, such as ('2025-Q2',).
    estimated : bool
        False where there are too few answers for any estimate; then `figures`, `strata` and the parts'
        figures are empty and only `counts` and the parts' counts stand.
    no_estimate_reason : str
        Why not, in a sentence; '' where there is one.
    counts : tuple of Counts
        One for each quarter.
    still_composting : float or None
        p of step 8, weighted by exposure.
    at_most_composting : float or None
        Where every answer says 'stopped': with 95 % confidence at most this share composts.
    figures : tuple of Figure
        Four measures by three streams in tonnes; methane in kg; process emissions and net in t CO2e.
    parts : tuple of Part
        By jurisdiction, district ('jurisdiction/district') and family; by language and funding source where any
        is known.
    unasked : Part
        What of the figures belongs to households not yet asked, estimated as their stratum.
    strata : tuple of Stratum
    landfill_bound : tuple of LandfillBound
        To hand on to later accounts.
    notes : tuple of Note
        What must be said beside the figures.
    working : Working
    factor_set, factor_set_digest : str
    """

    quarters: tuple[str, ...]
    estimated: bool
    no_estimate_reason: str
    counts: tuple[Counts, ...]
    still_composting: float | None
    at_most_composting: float | None
    figures: tuple[Figure, ...]
    parts: tuple[Part, ...]
    unasked: Part
    strata: tuple[Stratum, ...]
    landfill_bound: tuple[LandfillBound, ...]
    notes: tuple[Note, ...]
    working: Working
    factor_set: str
    factor_set_digest: str

    @property
    def response(self) -> Share | None:
        """Response rate of the last quarter; None where nobody was asked yet."""
        return self.counts[-1].response

    def figure(self, name: Measure | str, stream: Stream | str = Stream.BOTH) -> Figure:
        """The figure of that name and stream; KeyError where it was not estimated."""
        for figure in self.figures:
            if (figure.name, figure.stream) == (str(name), str(stream)):
                return figure
        raise KeyError((name, stream))

    def parts_by(self, dimension: str) -> tuple[Part, ...]:
        """The parts of one dimension, such as 'jurisdiction' or 'language'."""
        return tuple(part for part in self.parts if part.dimension == dimension)

    def to_dict(self) -> dict[str, Any]:
        """Plain data, ready for JSON, nothing rounded."""
        return {**plain(self), "working": self.working.to_dict()}


def compute(inputs: AccountInputs) -> DiversionAccount:
    """Compute an account.

    Parameters
    ----------
    inputs : AccountInputs

    Returns
    -------
    DiversionAccount
        Without figures but with its reason where a quarter has too few answers for any estimate.

    Raises
    ------
    DiversionError
        If the landfill settings of a jurisdiction or the factor set do not serve.

    Source
    ------
    The method note, steps 1 to 8, 10, 11, 13 and 14; what is not applied is said in the notes and the
    working.
    """
    with_bins = [cells for cells in inputs.quarters if any(cell.households for cell in cells.exposure)]
    if not with_bins:
        return _without_estimate(inputs, "No household had a bin in use in the period.")
    try:
        return _with_estimate(inputs, estimate(inputs, with_bins))
    except TooFewAnswers as too_few:
        return _without_estimate(inputs, str(too_few))


def _without_estimate(inputs: AccountInputs, reason: str) -> DiversionAccount:
    return DiversionAccount(
        quarters=tuple(str(cells.quarter) for cells in inputs.quarters),
        estimated=False,
        no_estimate_reason=reason,
        counts=tuple(counts(cells) for cells in inputs.quarters),
        still_composting=None,
        at_most_composting=None,
        figures=(),
        parts=parts(inputs.quarters, ()),
        unasked=unasked(inputs.quarters, ()),
        strata=(),
        landfill_bound=(),
        notes=(Note(code="no_estimate", sentence=reason),),
        working=counting(inputs.quarters),
        factor_set=inputs.factors.name,
        factor_set_digest=inputs.factors.digest,
    )


def _with_estimate(inputs: AccountInputs, estimation: Estimation) -> DiversionAccount:
    rates = [quarter.rates for quarter in estimation.quarters]
    weeks = [float(quarter.exposed.sum()) for quarter in rates]
    counted = tuple(counts(cells) for cells in inputs.quarters)
    none_composts = not any(count.still_composting for count in counted)
    return DiversionAccount(
        quarters=tuple(str(cells.quarter) for cells in inputs.quarters),
        estimated=True,
        no_estimate_reason="",
        counts=counted,
        still_composting=sum(w * quarter.composting for w, quarter in zip(weeks, rates, strict=True))
        / sum(weeks),
        at_most_composting=at_most(of=counted[-1].answers) if none_composts else None,
        figures=estimation.figures,
        parts=parts(inputs.quarters, estimation.quarters),
        unasked=unasked(inputs.quarters, estimation.quarters),
        strata=strata(estimation.quarters, estimation.basis.assumptions),
        landfill_bound=landfill_bound(estimation.quarters),
        notes=notes(inputs, estimation),
        working=working(inputs, estimation),
        factor_set=inputs.factors.name,
        factor_set_digest=inputs.factors.digest,
    )


def counts(cells: QuarterCells) -> Counts:
    """What stands of a quarter whether or not there is an estimate."""
    households = sum(cell.households for cell in cells.exposure)
    not_yet = sum(cell.unasked_households for cell in cells.exposure)
    answers = sum(cell.answers for cell in cells.answers)
    return Counts(
        quarter=str(cells.quarter),
        households=households,
        household_weeks=sum(cell.days for cell in cells.exposure) / DAYS_PER_WEEK,
        unasked_households=not_yet,
        unasked_weeks=sum(cell.unasked_days for cell in cells.exposure) / DAYS_PER_WEEK,
        answers=answers,
        still_composting=sum(cell.answers for cell in cells.answers if cell.still_composting),
        response=wilson(count=answers, of=households - not_yet) if households > not_yet else None,
    )
