"""Quarter by quarter: tonnes as filed and with today's factors, each with its range, as a table and as a chart."""

from outreach.filings.masses import MassUnit
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Table
from outreach.filings.trend import Ranged, TrendPoint

SERIES = ("as filed", "with today's factors")
MOST_QUARTERS = 12
NOTE = (
    "With today's factors: the sums that each filing froze, worked out again with the factors, weigh-ins and settings "
    "of this filing. A quarter without a range has no filing of its own: it is what other filings say of it, or "
    "what today's records give."
)


def table(occasion: Occasion) -> Table:
    unit = occasion.mass.sign
    return Table(
        key="trend",
        caption="Kept out of landfill, quarter by quarter",
        columns=(
            Column(heading="Quarter"),
            Column(heading="As filed", unit=unit, is_number=True),
            Column(heading="From", unit=unit, is_number=True),
            Column(heading="To", unit=unit, is_number=True),
            Column(heading="With today's factors", unit=unit, is_number=True),
            Column(heading="From", unit=unit, is_number=True),
            Column(heading="To", unit=unit, is_number=True),
        ),
        rows=tuple(
            (point.quarter, *_cells(occasion.mass, point.filed), *_cells(occasion.mass, point.today))
            for point in occasion.trend
        ),
        note=NOTE,
    )


def _cells(mass: MassUnit, ranged: Ranged | None) -> tuple[Cell, ...]:
    values = (ranged.tonnes, ranged.lower, ranged.upper) if ranged else (None, None, None)
    return tuple(mass.of(value) for value in values)


def chart(occasion: Occasion) -> Chart:
    """The last three years; bars that no filing stands for are missing from the first series."""
    mass = occasion.mass
    bars = tuple(bar for point in occasion.trend[-MOST_QUARTERS:] for bar in _bars(mass, point))
    said = "; ".join(f"{bar.label} {SERIES[bar.series]} {bar.printed} {mass.sign}" for bar in bars)
    return Chart(
        key="trend",
        caption="Kept out of landfill, quarter by quarter: as filed, and with today's factors",
        unit=mass.sign,
        bars=bars,
        shape="pairs",
        series=SERIES,
        alt=f"Columns in pairs with intervals: {said}" if said else "No quarter has an estimate yet.",
    )


def _bars(mass: MassUnit, point: TrendPoint) -> list[Bar]:
    return [
        Bar(
            label=point.quarter,
            value=float(mass.of(one.tonnes).value or 0),
            lower=mass.of(one.lower).value,
            upper=mass.of(one.upper).value,
            printed=mass.of(one.tonnes).printed,
            series=series,
        )
        for series, one in enumerate((point.filed, point.today))
        if one is not None
    ]
