"""Jurisdictions, districts and bin families: parts that add up to the whole; and the strata behind them."""

import math
from collections.abc import Iterator

from django.conf import settings

from diversion.account import DiversionAccount
from diversion.figures import Measure, Part, Stratum, Stream
from outreach.bins.models import BinModel
from outreach.filings import suppressing
from outreach.filings.masses import MassUnit, number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Number, Section, Table

DIMENSIONS = {
    "jurisdiction": "Jurisdiction",
    "district": "District",
    "family": "Bin family",
    "language": "Language",
    "funding_source": "Funding source",
}
UNKNOWN = {"language": "not said", "funding_source": "no funding source on record"}
ALIKE = "A part assumes that households of a stratum behave alike everywhere. Parts add up to the whole."
# Drawn where a place or family is not alone, and few enough to be read.
CHARTED, MOST_BARS = ("jurisdiction", "district", "family"), 24
BANDS = ("under 6 months", "6 to 12 months", "1 to 2 years", "2 years and more")


def places_and_families(occasion: Occasion) -> Section:
    account = occasion.accounts.period
    return Section(
        key="parts",
        heading="Places and families",
        paragraphs=(*((ALIKE,) if account.estimated else ()), *_too_small(account)),
        tables=tuple(
            _parts(occasion, account, dimension) for dimension in DIMENSIONS if account.parts_by(dimension)
        ),
        charts=tuple(_chart(occasion, account, one) for one in CHARTED if _is_drawn(account, one)),
    )


def _too_small(account: DiversionAccount) -> tuple[str, ...]:
    """Said where something was merged or left out."""
    smallest = settings.SMALLEST_COUNT
    for dimension in DIMENSIONS:
        parts = account.parts_by(dimension)
        if suppressing.published(parts, smallest=smallest) != parts:
            return (
                f"Counts under {smallest} could point at a household. Such parts are joined with the next larger ones "
                "under 'others', and answers by part are left out where one has fewer.",
            )
    return ()


def _parts(occasion: Occasion, account: DiversionAccount, dimension: str) -> Table:
    parts = suppressing.published(account.parts_by(dimension), smallest=settings.SMALLEST_COUNT)
    unit = occasion.mass.sign
    return Table(
        key=f"by_{dimension}",
        caption=f"By {DIMENSIONS[dimension].lower()}, {occasion.period.code}",
        columns=(
            Column(heading=DIMENSIONS[dimension]),
            Column(heading="Households with a bin", is_number=True),
            Column(heading="Answers in force", is_number=True),
            Column(heading="Went into bins", unit=unit, is_number=True),
            Column(heading="Kept out of landfill", unit=unit, is_number=True),
            Column(heading="Standard error of asking", unit=unit, is_number=True),
        ),
        rows=tuple(_part(occasion, account, part) for part in parts),
        total=(
            "All",
            number(sum(part.households for part in parts)),
            number(account.counts[-1].answers),
            *_whole(occasion, account),
        ),
    )


def _is_drawn(account: DiversionAccount, dimension: str) -> bool:
    return account.estimated and 1 < len(account.parts_by(dimension)) <= MOST_BARS


def _chart(occasion: Occasion, account: DiversionAccount, dimension: str) -> Chart:
    """Tonnes kept out of landfill of each published part; the table beside it has the same numbers."""
    mass = occasion.mass
    parts = suppressing.published(account.parts_by(dimension), smallest=settings.SMALLEST_COUNT)
    kept = [
        (_name(part), mass.of(part.figure(Measure.LANDFILL_BOUND, Stream.BOTH).headline)) for part in parts
    ]
    bars = tuple(
        Bar(label=name, value=float(tonnes.value or 0), printed=tonnes.printed) for name, tonnes in kept
    )
    return Chart(
        key=f"by_{dimension}",
        caption=f"Kept out of landfill by {DIMENSIONS[dimension].lower()}, {occasion.period.code}",
        unit=mass.sign,
        bars=bars,
        alt="Bar chart: " + "; ".join(f"{bar.label} {bar.printed} {mass.sign}" for bar in bars),
    )


def _part(occasion: Occasion, account: DiversionAccount, part: Part) -> tuple[Cell, ...]:
    answers = number(None if part.answers == suppressing.NOT_SHOWN else part.answers)
    start = (_name(part), number(part.households), answers)
    if not account.estimated:
        return (*start, number(None), number(None), number(None))
    gross, bound = part.figure(Measure.GROSS, Stream.BOTH), part.figure(Measure.LANDFILL_BOUND, Stream.BOTH)
    mass = occasion.mass
    return (*start, mass.of(gross.headline), mass.of(bound.headline), mass.of(bound.standard_error))


def _whole(occasion: Occasion, account: DiversionAccount) -> tuple[Number, Number, Number]:
    if not account.estimated:
        return (number(None), number(None), number(None))
    gross, bound = account.figure(Measure.GROSS), account.figure(Measure.LANDFILL_BOUND)
    mass = occasion.mass
    return (
        mass.of(gross.headline.value),
        mass.of(bound.headline.value),
        mass.of(math.hypot(bound.alike.sampling_error, bound.alike.reporting_error)),
    )


def _name(part: Part) -> str:
    if part.code.endswith(suppressing.OTHER):
        return f"{part.code.removesuffix(suppressing.OTHER)}others, too small to show"
    if not part.code:
        return UNKNOWN[part.dimension]
    if part.dimension == "language":
        return str(dict(settings.LANGUAGES).get(part.code, part.code))
    if part.dimension == "family":
        return str(dict(BinModel.Family.choices).get(part.code, part.code))
    # A district's code is 'jurisdiction/district'; the latter is empty where none is known.
    return f"{part.code}not in a district" if part.code.endswith("/") else part.code


def _stratum_columns(a_week: str) -> Iterator[Column]:
    yield Column(heading="Stratum")
    yield Column(heading="Made of")
    for counted in ("Households", "Answers", "Household-weeks"):
        yield Column(heading=counted, is_number=True)
    for weighed in ("Food into the bin", "Yard into the bin", "Went to trash before"):
        yield Column(heading=weighed, unit=a_week, is_number=True)


def strata(occasion: Occasion) -> Section:
    a_week = f"{occasion.mass.small_sign} a week"
    return Section(
        key="strata",
        heading="Strata",
        paragraphs=(
            "Households with a bin are grouped by jurisdiction, bin family and months since the first handout. "
            "Groups with fewer than five answers are joined with their neighbours before anything is estimated.",
        ),
        tables=(
            Table(
                key="strata",
                caption="Strata as estimated",
                columns=tuple(_stratum_columns(a_week)),
                rows=tuple(_stratum(occasion.mass, one) for one in occasion.accounts.period.strata),
            ),
        ),
    )


def _stratum(mass: MassUnit, one: Stratum) -> tuple[Cell, ...]:
    return (
        f"{one.quarter}, {one.number}",
        "; ".join(one.members),
        number(one.households),
        number(one.answers),
        Number(value=one.household_weeks, printed=f"{one.household_weeks:,.1f}"),
        mass.small_of(one.gross_food_kg_per_week),
        mass.small_of(one.gross_yard_kg_per_week),
        mass.small_of(one.trash_kg_per_week),
    )
