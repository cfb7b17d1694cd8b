"""Methane, process emissions and net warming; and the tonnes quarter by quarter behind them."""

from collections import defaultdict

from diversion.account import DiversionAccount
from diversion.figures import Figure
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Section, Table
from outreach.filings.sections.tonnage import STREAMS

VIEWS = (
    "Lifetime books all methane of the next hundred years in the quarter that kept the material out. The "
    "calendar-year view counts only what that year's landfill would have given off, from all quarters so far. "
    "The two are never added."
)
MEMO = (
    "Not in the net: carbon of garden trimmings that would have stayed buried, energy from captured gas, and "
    "haulage that was not needed."
)


def methane(occasion: Occasion) -> Section:
    account = occasion.accounts.period
    if not account.estimated:
        return Section(key="climate", heading="Methane", paragraphs=(account.no_estimate_reason,))
    settings = occasion.inputs.period.settings
    basis = (
        f"Warming potentials: {settings.report}, {int(settings.horizon)} years, methane not of fossil origin."
    )
    return Section(
        key="climate",
        heading="Methane and warming",
        paragraphs=(VIEWS, basis, MEMO),
        tables=(_table(account), _trend_table(occasion)),
        charts=(_trend_chart(occasion),),
    )


def _table(account: DiversionAccount) -> Table:
    return Table(
        key="climate",
        caption="Methane and warming avoided",
        columns=(
            Column(heading="What"),
            Column(heading="Material"),
            Column(heading="Unit"),
            Column(heading="Filed", is_number=True),
            Column(heading="Lowest said", is_number=True),
            Column(heading="Highest said", is_number=True),
            Column(heading="If the silent are alike", is_number=True),
        ),
        rows=tuple(_row(figure) for figure in account.figures if figure.unit != "t"),
    )


def _row(figure: Figure) -> tuple[Cell, ...]:
    return (
        _words(figure.name),
        STREAMS[figure.stream],
        figure.unit,
        number(figure.headline.value),
        number(figure.said_lower),
        number(figure.said_upper),
        number(figure.alike.value),
    )


def _words(name: str) -> str:
    known = {
        "methane_lifetime": "Methane avoided over its lifetime",
        "process": "Given off by composting itself",
        "net": "Net warming avoided",
        "stored_carbon": "Beside it: carbon that would have stayed buried",
    }
    return known.get(name, f"Methane avoided in the year {name.removeprefix('methane_')}")


def _by_quarter(occasion: Occasion) -> list[tuple[str, float]]:
    tonnes: dict[str, float] = defaultdict(float)
    for past in occasion.inputs.period.earlier:
        tonnes[str(past.quarter)] += past.landfill_bound_tonnes
    for now in occasion.accounts.period.landfill_bound:
        tonnes[now.quarter] += now.tonnes
    return sorted(tonnes.items())


def _trend_table(occasion: Occasion) -> Table:
    return Table(
        key="trend",
        caption="Kept out of landfill, quarter by quarter",
        columns=(
            Column(heading="Quarter"),
            Column(heading="Kept out", unit=occasion.mass.sign, is_number=True),
        ),
        rows=tuple((quarter, occasion.mass.of(tonnes)) for quarter, tonnes in _by_quarter(occasion)),
        note="Earlier quarters as they were filed, or as today's records and factors give them.",
    )


def _trend_chart(occasion: Occasion) -> Chart:
    recent = _by_quarter(occasion)[-12:]
    bars = tuple(
        Bar(
            label=quarter,
            value=float(occasion.mass.of(tonnes).value or 0),
            printed=occasion.mass.of(tonnes).printed,
        )
        for quarter, tonnes in recent
    )
    return Chart(
        key="trend",
        caption="Kept out of landfill, quarter by quarter",
        unit=occasion.mass.sign,
        bars=bars,
        shape="columns",
        alt="Bar chart: " + "; ".join(f"{bar.label} {bar.printed} {occasion.mass.sign}" for bar in bars),
    )
