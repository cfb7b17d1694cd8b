"""What the estimators are fed: cells of integer sums, never rows, never a household.

Everything that changes what an answer means (share that went to trash before, unit, age, month asked about)
is part of a cell's key, so that within a cell each estimated quantity is a straight line in the reported
amounts and every total, variance and covariance follows exactly from the sums. The records are grouped into
cells in the database; memory does not grow with the number of households.

Amounts are whole numbers per week: decilitres where the household gave a volume, decagrams where it gave a
weight.
"""

from dataclasses import dataclass
from enum import StrEnum

from diversion.conversions import QUARTERS_PER_YEAR
from diversion.errors import DiversionError
from diversion.settings import LAST_BAND, WHOLE_PERCENT

# What a part of an account may be of; parts of each add up to the whole.
PART_FIELDS = ("jurisdiction", "district", "family", "language", "funding_source")
PartKey = tuple[str, ...]


class Unit(StrEnum):
    """How a household gave its amount of a material."""

    VOLUME = "volume"  # decilitres per week
    WEIGHT = "weight"  # decagrams per week


class Prior(StrEnum):
    """Whether the household composted before it had this bin."""

    NEW = "new"
    PRIOR = "prior"
    NOT_SAID = "not_said"


class BadCell(DiversionError):
    """A cell of sums contradicts itself, so the records that it was gathered from cannot be trusted either.

    Attributes
    ----------
    where : str
        The cell's key in words.
    reason : str
        What contradicts what.
    """

    def __init__(self, *, where: str, reason: str) -> None:
        self.where, self.reason = where, reason
        super().__init__(
            f"The sums of {where} cannot be right: {reason}. Check the records and gather again."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureCell:
    """Households that had a bin in use during the period, of one district, bin family and band.

    Parameters
    ----------
    jurisdiction, district, family : str
        Codes; '' where a district is not known.
    band : int
        Months since the first handout at the middle of the exposed days: 0 = under 6, 1 = 6 to 12, 2 = 12 to
        24, 3 = 24 and more.
    language, funding_source : str
        Of the households and of the bin in use, for parts of their own; '' where not known.
    households : int
        Those with at least one exposed day.
    days : int
        Their exposed days in the period, summed.
    unasked_households, unasked_days : int
        Those among them for whom no follow-up wave has come due yet, and their days.

    Raises
    ------
    BadCell
        If a sum is negative or larger than the one it is part of.
    """

    jurisdiction: str
    district: str
    family: str
    band: int
    language: str = ""
    funding_source: str = ""
    households: int
    days: int
    unasked_households: int = 0
    unasked_days: int = 0

    def __post_init__(self) -> None:
        _require_band(self.band, self.where)
        if not 0 <= self.unasked_households <= self.households:
            raise BadCell(where=self.where, reason="more households not yet asked than households")
        if not 0 <= self.unasked_days <= self.days:
            raise BadCell(where=self.where, reason="more days not yet asked than days")
        if not self.households <= self.days:
            raise BadCell(
                where=self.where, reason="fewer exposed days than households, and each has one at least"
            )

    @property
    def part(self) -> PartKey:
        """Which part of every kind it belongs to, in the order of `PART_FIELDS`."""
        return part_of(self)

    @property
    def where(self) -> str:
        """The cell's key in words, for errors."""
        return f"exposure in {self.jurisdiction}/{self.district}, {self.family}, band {self.band}"


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerCell:
    """Answers in force that are alike in everything but the amounts.

    T is a household's exposed days in the period; f and y its food and yard trimmings per week, in whole
    decilitres (volume) or decagrams (weight). An amount that was not given, and one of a household that
    stopped, adds 0.

    Parameters
    ----------
    jurisdiction, district, family, band, language, funding_source
        As in `ExposureCell`.
    gap_months : float
        Months from the answer to the middle of the exposed days, at least 0; whole months keep the cells few.
    quarter_asked : int
        Calendar quarter, 1 to 4, of the month that the yard question was about; 0 if none or not known.
    food_in, yard_in : Unit
        Unit of the amounts.
    food_trash_percent, food_composted_percent, yard_trash_percent, yard_composted_percent : int or None
        Share of the material that went to trash, or was composted (home or green cart), before; None if not
        given.
    prior : Prior
        Whether it composted before.
    still_composting : bool
        False for an answer 'stopped': its amounts are 0.
    food_given, yard_given : bool
        Whether the amount was given. An answer that says 'still composting' without an amount is kept: it
        counts for the response and for still composting, and its amount is taken from those who gave one.
    browns_given : bool
        Whether browns were asked about and told; False in cells of programmes that do not ask.
    answers : int
        Number of answers.
    days, days_sq : int
        ΣT, ΣT².
    days_food, days_yard : int
        ΣTf, ΣTy.
    days_sq_food, days_sq_yard : int
        ΣT²f, ΣT²y.
    days_sq_food_sq, days_sq_yard_sq, days_sq_food_yard : int
        ΣT²f², ΣT²y², ΣT²fy.
    days_browns, days_sq_browns, days_sq_browns_sq : int
        ΣTb, ΣT²b, ΣT²b², with b the browns per week in whole decilitres.

    Raises
    ------
    BadCell
        If the key or the sums contradict themselves.
    """

    jurisdiction: str
    district: str
    family: str
    band: int
    language: str = ""
    funding_source: str = ""
    gap_months: float = 0
    quarter_asked: int = 0
    food_in: Unit = Unit.VOLUME
    yard_in: Unit = Unit.VOLUME
    food_trash_percent: int | None = None
    food_composted_percent: int | None = None
    yard_trash_percent: int | None = None
    yard_composted_percent: int | None = None
    prior: Prior = Prior.NOT_SAID
    still_composting: bool = True
    food_given: bool = True
    yard_given: bool = True
    browns_given: bool = False
    answers: int
    days: int
    days_sq: int
    days_food: int = 0
    days_yard: int = 0
    days_sq_food: int = 0
    days_sq_yard: int = 0
    days_sq_food_sq: int = 0
    days_sq_yard_sq: int = 0
    days_sq_food_yard: int = 0
    days_browns: int = 0
    days_sq_browns: int = 0
    days_sq_browns_sq: int = 0

    def __post_init__(self) -> None:
        _require_band(self.band, self.where)
        self._require_shares()
        self._require_sums()
        self._require_amounts()

    @property
    def part(self) -> PartKey:
        """Which part of every kind it belongs to, in the order of `PART_FIELDS`."""
        return part_of(self)

    @property
    def where(self) -> str:
        """The cell's key in words, for errors."""
        return f"answers in {self.jurisdiction}/{self.district}, {self.family}, band {self.band}"

    def _require_shares(self) -> None:
        for trash, composted in (
            (self.food_trash_percent, self.food_composted_percent),
            (self.yard_trash_percent, self.yard_composted_percent),
        ):
            if min(trash or 0, composted or 0) < 0 or (trash or 0) + (composted or 0) > WHOLE_PERCENT:
                raise BadCell(
                    where=self.where, reason="shares before that are negative or over 100 % together"
                )
        if {self.food_in, self.yard_in} - set(Unit) or self.prior not in set(Prior):
            raise BadCell(
                where=self.where, reason=f"{self.food_in}, {self.yard_in} or {self.prior} is not known"
            )
        if self.gap_months < 0:
            raise BadCell(where=self.where, reason="a negative gap between answer and exposure")
        if not 0 <= self.quarter_asked <= QUARTERS_PER_YEAR:
            raise BadCell(where=self.where, reason=f"{self.quarter_asked} is not a calendar quarter")

    def _require_sums(self) -> None:
        if not 1 <= self.answers <= self.days <= self.days_sq:
            raise BadCell(
                where=self.where, reason="each answer has at least one exposed day, and a cell one answer"
            )
        # Cauchy-Schwarz holds exactly in integers; a sum that breaks it was overflown or mixed up.
        pairs = (
            (self.days**2, self.answers * self.days_sq),
            (self.days_sq_food**2, self.days_sq * self.days_sq_food_sq),
            (self.days_sq_yard**2, self.days_sq * self.days_sq_yard_sq),
            (self.days_sq_food_yard**2, self.days_sq_food_sq * self.days_sq_yard_sq),
            (self.days_food**2, self.answers * self.days_sq_food_sq),
            (self.days_yard**2, self.answers * self.days_sq_yard_sq),
            (self.days_browns**2, self.answers * self.days_sq_browns_sq),
            (self.days_sq_browns**2, self.days_sq * self.days_sq_browns_sq),
        )
        if any(square > bound for square, bound in pairs):
            raise BadCell(where=self.where, reason="a sum is larger than its sum of squares allows")

    def _require_amounts(self) -> None:
        food = (self.days_food, self.days_sq_food, self.days_sq_food_sq, self.days_sq_food_yard)
        yard = (self.days_yard, self.days_sq_yard, self.days_sq_yard_sq, self.days_sq_food_yard)
        browns = (self.days_browns, self.days_sq_browns, self.days_sq_browns_sq)
        if min(food + yard + browns) < 0:
            raise BadCell(where=self.where, reason="a negative amount")
        for name, sums, given in (
            ("food", food, self.food_given),
            ("yard trimmings", yard, self.yard_given),
            ("browns", browns, self.browns_given),
        ):
            if any(sums) and not (self.still_composting and given):
                reason = f"an amount of {name} from households that stopped or gave none"
                raise BadCell(where=self.where, reason=reason)


@dataclass(frozen=True, slots=True, kw_only=True)
class QuitCount:
    """Answers ever given to 'are you still composting?', so many months after the first handout.

    Parameters
    ----------
    months : float
        Months from the first handout to the answer; whole months will do.
    still, stopped : int
        How many said yes, how many no.

    Raises
    ------
    BadCell
        If a number is negative.
    """

    months: float
    still: int
    stopped: int

    def __post_init__(self) -> None:
        if min(self.months, self.still, self.stopped) < 0:
            raise BadCell(where=f"'still composting' at month {self.months}", reason="a negative number")


def part_of(cell: ExposureCell | AnswerCell) -> PartKey:
    """The cell's value of each of `PART_FIELDS`."""
    return (cell.jurisdiction, cell.district, cell.family, cell.language, cell.funding_source)


def _require_band(band: int, where: str) -> None:
    if not 0 <= band <= LAST_BAND:
        raise BadCell(where=where, reason=f"{band} is not a band of months since the first handout")
