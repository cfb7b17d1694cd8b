"""Everything that goes into an account, and the choices that were made for it. Frozen, checked when made."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from diversion.calibration import Calibration
from diversion.cells import AnswerCell, ExposureCell, QuitCount
from diversion.conversions import MONTHS_PER_YEAR, QUARTERS_PER_YEAR
from diversion.errors import DiversionError, require_within
from diversion.factors import FactorSet, Horizon, Precipitation, Report
from diversion.materials import Material
from diversion.settings import (
    DRAWS,
    HEADLINE_ODDS,
    METHOD_VERSION,
    MOST_DRAWS,
    ODDS_SHOWN,
    SEASON_FEWEST_ANSWERS,
)

MONTHS_PER_QUARTER = MONTHS_PER_YEAR // QUARTERS_PER_YEAR


class BadInputs(DiversionError):
    """The parts of an account's inputs do not fit together.

    Attributes
    ----------
    reason : str
        What does not fit, and what to do.
    """

    def __init__(self, reason: str) -> None:
        self.reason = reason
        super().__init__(reason)


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Quarter:
    """A calendar quarter: `year`, and `quarter` 1 to 4."""

    year: int
    quarter: int

    def __post_init__(self) -> None:
        require_within("quarter", self.quarter, 1, QUARTERS_PER_YEAR)

    @property
    def index(self) -> int:
        """Quarters since year 0, so that neighbouring quarters differ by 1."""
        return self.year * QUARTERS_PER_YEAR + self.quarter - 1

    @property
    def middle(self) -> float:
        """The middle of the quarter in years, such as 2025.125 for the first of 2025."""
        return (self.index + 1 / 2) / QUARTERS_PER_YEAR

    def __str__(self) -> str:
        return f"{self.year}-Q{self.quarter}"


@dataclass(frozen=True, slots=True, kw_only=True)
class QuarterCells:
    """The cells of one quarter: exposure of every household with a bin, and the answers in force about
    them.

    `span` is the days of the quarter that were gathered, the last one included, as an ISO 8601 interval such as
    '2025-05-01/2025-06-30'; '' for the whole quarter. Season and burial stay those of the quarter.
    """

    quarter: Quarter
    exposure: tuple[ExposureCell, ...]
    answers: tuple[AnswerCell, ...]
    span: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class JurisdictionSettings:
    """What happens to a jurisdiction's trash.

    Parameters
    ----------
    code : str
        As in the cells.
    landfilled_share : float
        Share of its trash that is landfilled and not burned, 0 to 1.
    yard_banned : bool
        Whether yard trimmings may not go to landfill; they then count as never landfill-bound.
    precipitation : Precipitation
        How wet its landfill is; picks the decay rates.
    collection : str or tuple of (from age, to age, share)
        Name of a preset of the factor set ('none', 'typical'), or its own table of gas caught by age of waste
        in years, the last one ending in `math.inf`.
    oxidation : float or None
        Share of escaping methane oxidised in the cover; None takes the factor set's.

    Raises
    ------
    OutOfRange
        If a share is outside 0 to 1.
    """

    code: str
    landfilled_share: float = 1.0
    yard_banned: bool = False
    precipitation: Precipitation = Precipitation.BETWEEN
    collection: str | tuple[tuple[float, float, float], ...] = "typical"
    oxidation: float | None = None

    def __post_init__(self) -> None:
        require_within(f"share of trash landfilled in {self.code}", self.landfilled_share, 0, 1)
        if self.oxidation is not None:
            require_within(f"oxidised share in {self.code}", self.oxidation, 0, 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class MethodSettings:
    """The choices of a filing; frozen with it.

    Parameters
    ----------
    odds : float
        Headline assumption about the silent: they have 1/odds of the answerers' odds of still composting. 1 =
        alike; 2 is 'cautious'.
    odds_shown : tuple of float
        The assumptions shown side by side; contains `odds`.
    report, horizon
        Warming potentials, as the funder asks.
    food_docf_scenario : bool
        Use the later guidelines' share of decaying carbon for food.
    n2o_as_printed : bool
        Use the uncorrected nitrous oxide figure that the guidelines first printed.
    apply_ageing, apply_season : bool
        Whether steps 3 and 4 are applied. What is not applied is said in the notes.
    calendar_years : tuple of int
        Years of the calendar-year view of methane; () means the year in which the period ends.
    version : int
        Of the method, 1 to `settings.METHOD_VERSION`.
    season_fewest_answers : int
        So many answers about a quarter tell of its yard trimmings by themselves.
    draws : int
        How many are drawn over answers and factors.

    Raises
    ------
    OutOfRange, BadInputs
        If an assumption about the silent is under 1, or the headline's is not among those shown.
    """

    odds: float = HEADLINE_ODDS
    odds_shown: tuple[float, ...] = ODDS_SHOWN
    report: Report = Report.AR6
    horizon: Horizon = Horizon.YEARS_100
    food_docf_scenario: bool = False
    n2o_as_printed: bool = False
    apply_ageing: bool = True
    apply_season: bool = True
    calendar_years: tuple[int, ...] = ()
    version: int = METHOD_VERSION
    season_fewest_answers: int = SEASON_FEWEST_ANSWERS
    draws: int = DRAWS

    def __post_init__(self) -> None:
        require_within("version of the method", self.version, 1, METHOD_VERSION)
        require_within("fewest answers about a quarter", self.season_fewest_answers, 1)
        require_within("draws", self.draws, 2, MOST_DRAWS)
        for odds in self.odds_shown:
            require_within("odds of the answerers over those of the silent", odds, 1)
        if self.odds not in self.odds_shown or 1 not in self.odds_shown:
            raise BadInputs(
                "The assumptions shown about the silent must hold 1 and the headline's. Add them."
            )
        if list(self.odds_shown) != sorted(set(self.odds_shown)):
            raise BadInputs("List each assumption about the silent once, the smallest first.")


@dataclass(frozen=True, slots=True, kw_only=True)
class EarlierTonnes:
    """Landfill-bound tonnes of an earlier quarter, or of its days in `span`, for the calendar-year view of methane."""

    quarter: Quarter
    jurisdiction: str
    material: Material
    landfill_bound_tonnes: float
    span: str = ""

    def __post_init__(self) -> None:
        require_within(f"landfill-bound tonnes of {self.quarter}", self.landfill_bound_tonnes, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class AccountInputs:
    """Everything an account is computed from; the same inputs give the same figures, always.

    Parameters
    ----------
    quarters : tuple of QuarterCells
        One quarter, or several that follow one another (a year is the sum of its quarters, step 13).
    jurisdictions : tuple of JurisdictionSettings
        One for every jurisdiction of the cells.
    factors : FactorSet
    quits : tuple of QuitCount
        All 'still composting?' answers by month, for the quitting rate (step 3).
    settings : MethodSettings
    earlier : tuple of EarlierTonnes
        Quarters before the first of `quarters`.
    food_weighed, yard_weighed : Calibration or None
        Weigh-ins whose ratio turns reported litres into kilograms instead of the published density.

    Raises
    ------
    BadInputs
        If quarters are missing or do not follow one another, a jurisdiction lacks its settings, there are
        more answers than households in a cell, or an earlier quarter is not earlier.
    """

    quarters: tuple[QuarterCells, ...]
    jurisdictions: tuple[JurisdictionSettings, ...]
    factors: FactorSet
    quits: tuple[QuitCount, ...] = ()
    settings: MethodSettings = field(default_factory=MethodSettings)
    earlier: tuple[EarlierTonnes, ...] = ()
    food_weighed: Calibration | None = None
    yard_weighed: Calibration | None = None

    def __post_init__(self) -> None:
        self._require_consecutive()
        self._require_settings()
        for cells in self.quarters:
            require_households_behind_answers(cells)

    def _require_consecutive(self) -> None:
        if not self.quarters:
            raise BadInputs("An account needs at least one quarter. Choose a period.")
        indices = [cells.quarter.index for cells in self.quarters]
        if indices != list(range(indices[0], indices[0] + len(indices))):
            raise BadInputs("The quarters of a period must follow one another. Gather the missing ones.")
        if not all(_is_before(past, self.quarters[0]) for past in self.earlier):
            raise BadInputs(
                "Earlier tonnes must be of quarters before the period, or they would count twice."
            )

    def _require_settings(self) -> None:
        known = [jurisdiction.code for jurisdiction in self.jurisdictions]
        if len(set(known)) < len(known):
            raise BadInputs("A jurisdiction has two landfill settings. Keep one.")
        missing = sorted(self._mentioned() - set(known))
        if missing:
            raise BadInputs(f"No landfill settings for {', '.join(missing)}. Add them under Set-up.")

    def _mentioned(self) -> set[str]:
        mentioned = {past.jurisdiction for past in self.earlier}
        for cells in self.quarters:
            mentioned.update(cell.jurisdiction for cell in cells.exposure)
        return mentioned


def _is_before(past: EarlierTonnes, first: QuarterCells) -> bool:
    """Of an earlier quarter, or of days of the same quarter that end before those of the period begin."""
    if past.quarter != first.quarter:
        return past.quarter.index < first.quarter.index
    ends, begins = past.span.partition("/")[2], first.span.partition("/")[0]
    # ISO days sort as they follow one another.
    return bool(ends and begins) and ends < begins


def require_households_behind_answers(cells: QuarterCells) -> None:
    """Raise `BadInputs` where a cell has more answers, or answered days, than asked households have."""
    households = _sums(
        (_key(cell), cell.households - cell.unasked_households, cell.days) for cell in cells.exposure
    )
    answers = _sums((_key(cell), cell.answers, cell.days) for cell in cells.answers)
    for key, (answered, days) in answers.items():
        asked, exposed = households.get(key, (0, 0))
        if answered > asked or days > exposed:
            raise BadInputs(
                f"{cells.quarter}: {answered} answers over {days} days in {'/'.join(map(str, key))}, "
                f"but only {asked} asked households with {exposed} days. "
                f"Gather again; if it stays, check the stays."
            )


def _key(cell: ExposureCell | AnswerCell) -> tuple[str, str, str, int]:
    return cell.jurisdiction, cell.district, cell.family, cell.band


def _sums(
    rows: Iterable[tuple[tuple[str, str, str, int], int, int]],
) -> dict[tuple[str, str, str, int], tuple[int, int]]:
    totals: dict[tuple[str, str, str, int], tuple[int, int]] = {}
    for key, first, second in rows:
        so_far = totals.get(key, (0, 0))
        totals[key] = (so_far[0] + first, so_far[1] + second)
    return totals
