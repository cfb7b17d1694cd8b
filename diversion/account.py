"""Everything together: inputs in, a frozen account with its working out."""

from dataclasses import dataclass
from typing import Any

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
        By jurisdiction, district ('jurisdiction/district') and family.
    unasked : tuple of PartFigure
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
        """The parts of one dimension: 'jurisdiction', 'district' or 'family'."""
        return tuple(part for part in self.parts if part.dimension == dimension)

    def to_dict(self) -> dict[str, Any]:
        """Plain data, ready for JSON, nothing rounded."""
        return {**plain(self), "working": self.working.to_dict()}
