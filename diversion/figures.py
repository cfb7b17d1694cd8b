"""The figures of an account: frozen, unrounded, and able to turn themselves into plain data for storage."""

from dataclasses import dataclass, fields, is_dataclass
from enum import StrEnum
from typing import Any


class Measure(StrEnum):
    """What is counted of the material that a household composts."""

    GROSS = "gross"  # everything that went into the bin
    LANDFILL_BOUND = "landfill_bound"  # the part that went to landfill before
    ADDITIONAL = "additional"  # the part of that from households new to composting
    COMPOSTED_BEFORE = "composted_before"  # the part that was composted before, at home or in a green cart


class Stream(StrEnum):
    """A material, or the sum of the two."""

    FOOD = "food"
    YARD = "yard"
    BOTH = "both"


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """An estimate as if the silent were like those who answered, with its error.

    Parameters
    ----------
    value : float
        In the unit of the figure that holds it.
    standard_error : float
        Of everything below together.
    sampling_error, reporting_error, ageing_error, season_error : float
        Standard errors from having asked only some, from noise in what households report, from the quitting
        rate, and from the assumed season of yard trimmings.
    degrees_of_freedom : float or None
        Of sampling and reporting together; None where both are 0.
    lower, upper : float or None
        90 % limits, given that the silent are like those who answered; None where every answer is 0.
    """

    value: float
    standard_error: float
    sampling_error: float
    reporting_error: float
    ageing_error: float
    season_error: float
    degrees_of_freedom: float | None
    lower: float | None
    upper: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class AtOdds:
    """The figure when the silent have 1/odds of the answerers' odds of still composting."""

    odds: float
    value: float
    lower: float | None
    upper: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One figure with its interval and what it becomes under each assumption about the silent.

    Parameters
    ----------
    name : str
        A `Measure`, or 'methane_lifetime', 'methane_<year>', 'process', 'net'.
    stream : Stream
    unit : str
        't', 'kg CH4' or 't CO2e'.
    alike : Estimate
        If the silent are like those who answered.
    at_odds : tuple of AtOdds
        Side by side, smallest odds first.
    nothing : float
        If the silent compost nothing: what answerers alone account for.
    headline : AtOdds
        The one that is filed.
    said_lower, said_upper : float or None
        The range to say aloud: lower limit at the largest odds, upper limit at odds 1.
    """

    name: str
    stream: Stream
    unit: str
    alike: Estimate
    at_odds: tuple[AtOdds, ...]
    nothing: float
    headline: AtOdds
    said_lower: float | None
    said_upper: float | None

    def at(self, odds: float) -> AtOdds:
        """The figure at that assumption; KeyError if it is not among those shown."""
        for shown in self.at_odds:
            if shown.odds == odds:
                return shown
        raise KeyError(odds)


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """A proportion of counted cases with its Wilson interval.

    Parameters
    ----------
    count, of : int
    share, lower, upper : float
        0 to 1; the interval at `confidence`.
    """

    count: int
    of: int
    share: float
    lower: float
    upper: float
    confidence: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Stratum:
    """A group of households that are estimated together, after thin ones were joined.

    Parameters
    ----------
    quarter : str
    number : int
        From 1 within the quarter.
    members : tuple of str
        'jurisdiction, family, band' of each cell that was joined.
    answers, households : int
        n and N.
    household_weeks, answered_weeks : float
        Exposure of all its households, and of those with an answer in force.
    still_composting : float
        Plain share of its answers.
    gross_food_kg_per_week, gross_yard_kg_per_week, trash_kg_per_week : float
        R_h, kilograms per household-week; the last is what went to trash before, landfilled or not.
    """

    quarter: str
    number: int
    members: tuple[str, ...]
    answers: int
    households: int
    household_weeks: float
    answered_weeks: float
    still_composting: float
    gross_food_kg_per_week: float
    gross_yard_kg_per_week: float
    trash_kg_per_week: float


@dataclass(frozen=True, slots=True, kw_only=True)
class PartFigure:
    """One measure and stream of a part, in tonnes. Values of the parts of one dimension add up to the whole.

    Parameters
    ----------
    measure : Measure
    stream : Stream
    alike : float
        If the silent are like those who answered.
    standard_error : float
        Of sampling and reporting.
    headline : float
        At the headline assumption about the silent.
    nothing : float
        If the silent compost nothing.
    """

    measure: Measure
    stream: Stream
    alike: float
    standard_error: float
    headline: float
    nothing: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A jurisdiction, district or bin family: its exposure, and its share of the tonnes.

    Households are of the last quarter, weeks of all quarters. The estimate assumes that households of a
    stratum behave alike everywhere.
    """

    dimension: str
    code: str
    households: int
    household_weeks: float
    answers: int
    figures: tuple[PartFigure, ...]

    def figure(self, measure: Measure | str, stream: Stream | str) -> PartFigure:
        """That measure and stream of the part; KeyError if the account has no estimate."""
        for figure in self.figures:
            if (figure.measure, figure.stream) == (measure, stream):
                return figure
        raise KeyError((measure, stream))


@dataclass(frozen=True, slots=True, kw_only=True)
class Counts:
    """What stands whether or not there is an estimate; of one quarter.

    Parameters
    ----------
    households, unasked_households, answers, still_composting : int
        Households with a bin; those not yet asked; answers in force; those among them that still compost.
    household_weeks, unasked_weeks : float
    response : Share or None
        Answers in force of households asked; None where nobody was asked yet.
    """

    quarter: str
    households: int
    household_weeks: float
    unasked_households: int
    unasked_weeks: float
    answers: int
    still_composting: int
    response: Share | None


@dataclass(frozen=True, slots=True, kw_only=True)
class LandfillBound:
    """Headline landfill-bound tonnes of a quarter, jurisdiction and material: hand them to later accounts as
    `EarlierTonnes`."""

    quarter: str
    jurisdiction: str
    material: str
    tonnes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """Something a reader must know beside the figures: a code for the programme, a sentence for the
    reader."""

    code: str
    sentence: str


def plain(value: Any) -> Any:
    """Turn frozen figures into dicts, lists, numbers and strings, ready for JSON, nothing rounded."""
    if is_dataclass(value) and not isinstance(value, type):
        return {entry.name: plain(getattr(value, entry.name)) for entry in fields(value)}
    if isinstance(value, StrEnum):
        return str(value)
    if isinstance(value, tuple | list):
        return [plain(item) for item in value]
    return value
