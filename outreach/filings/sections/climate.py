"""Methane, process emissions and net warming; and the tonnes quarter by quarter behind them."""

from collections.abc import Iterator

from diversion.account import DiversionAccount
from diversion.figures import Figure
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Section, Table
from outreach.filings.sections import quarters
from outreach.filings.sections.tonnage import STREAMS

VIEWS = (
    "Lifetime books all methane of the next hundred years in the quarter that kept the material out. The "
    "calendar-year view counts only what that year's landfill would have given off, from all quarters so far. "
    "The two are never added."
)
METRIC = (
    "Gases are in kilograms and in tonnes of 1000 kg, as accounts of greenhouse gases are, whatever the unit of the "
    "waste."
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
        paragraphs=(VIEWS, basis, METRIC, MEMO),
        tables=(_table(account), quarters.table(occasion)),
        charts=(_net_chart(account), quarters.chart(occasion)),
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


def _steps_to_the_net(account: DiversionAccount) -> Iterator[Bar]:
    net, given_off = account.figure("net"), account.figure("process").headline.value
    avoided = net.headline.value + given_off
    yield Bar(
        label="Methane avoided over its lifetime, as warming", value=avoided, printed=number(avoided).printed
    )
    yield Bar(
        label="Given off by composting itself",
        value=-given_off,
        printed=number(-given_off).printed,
        series=1,
    )
    yield Bar(
        label="Net warming avoided",
        value=net.headline.value,
        lower=net.said_lower,
        upper=net.said_upper,
        printed=number(net.headline.value).printed,
    )


def _net_chart(account: DiversionAccount) -> Chart:
    """From the methane avoided to the net; the emissions of composting hang between the two."""
    net, bars = account.figure("net"), tuple(_steps_to_the_net(account))
    return Chart(
        key="net",
        caption="From methane avoided to net warming avoided",
        unit=net.unit,
        bars=bars,
        shape="falls",
        alt="Bar chart, what is given off taken from what is avoided: "
        + "; ".join(f"{bar.label} {bar.printed} {net.unit}" for bar in bars),
    )
