"""Tonnes: gross, landfill-bound, additional; by material, with intervals and the range under silence."""

from diversion.account import DiversionAccount
from diversion.figures import Figure, Measure, Stream
from outreach.filings.masses import MassUnit
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Section, Table

MEASURES = {
    Measure.GROSS: "Went into bins",
    Measure.LANDFILL_BOUND: "Would have gone to landfill",
    Measure.ADDITIONAL: "… from households new to composting",
    Measure.COMPOSTED_BEFORE: "Was composted before, at home or in a green cart",
}
STREAMS = {Stream.FOOD: "food scraps", Stream.YARD: "yard trimmings", Stream.BOTH: "together"}
SILENCE = (
    "The silent are households with a bin that did not answer. The filed figure gives them 1/{odds:g} of the "
    "answerers' odds of still composting, since people who answer are keener; how much keener is not known, so "
    "the other assumptions stand beside it. '90 %' holds only if the silent are like those who answered."
)


def kept_out(occasion: Occasion) -> Section:
    period = occasion.accounts.period
    if not period.estimated:
        return Section(key="tonnes", heading=occasion.mass.heading, paragraphs=(period.no_estimate_reason,))
    tables = [_measures(occasion, period, key="tonnes", when=occasion.period.code)]
    if occasion.accounts.year_to_date.estimated:
        tables.append(
            _measures(
                occasion, occasion.accounts.year_to_date, key="tonnes_to_date", when=occasion.year_in_words
            )
        )
    tables.append(_silence_table(occasion, period))
    return Section(
        key="tonnes",
        heading="Kept out of landfill",
        paragraphs=(SILENCE.format(odds=period.figure(Measure.GROSS).headline.odds),),
        tables=tuple(tables),
        charts=(_measures_chart(occasion, period), _silence_chart(occasion, period)),
    )


def _measures(occasion: Occasion, account: DiversionAccount, *, key: str, when: str) -> Table:
    unit = occasion.mass.sign
    return Table(
        key=key,
        caption=f"{occasion.mass.heading} by material, {when}",
        columns=(
            Column(heading="What"),
            Column(heading="Material"),
            Column(heading="Filed", unit=unit, is_number=True),
            Column(heading="Lowest said", unit=unit, is_number=True),
            Column(heading="Highest said", unit=unit, is_number=True),
            Column(heading="If the silent are alike", unit=unit, is_number=True),
            Column(heading="90 % from", unit=unit, is_number=True),
            Column(heading="90 % to", unit=unit, is_number=True),
        ),
        rows=tuple(
            _row(occasion.mass, words, STREAMS[stream], account.figure(measure, stream))
            for measure, words in MEASURES.items()
            for stream in STREAMS
        ),
    )


def _row(mass: MassUnit, words: str, material: str, figure: Figure) -> tuple[Cell, ...]:
    alike = figure.alike
    values = (
        figure.headline.value,
        figure.said_lower,
        figure.said_upper,
        alike.value,
        alike.lower,
        alike.upper,
    )
    return (words, material, *(mass.of(value) for value in values))


def _silence_table(occasion: Occasion, account: DiversionAccount) -> Table:
    figure, mass = account.figure(Measure.LANDFILL_BOUND), occasion.mass
    rows: list[tuple[Cell, ...]] = [
        (_assumed(shown.odds), mass.of(shown.value), mass.of(shown.lower), mass.of(shown.upper))
        for shown in figure.at_odds
    ]
    rows.append(("They compost nothing", mass.of(figure.nothing), "–", "–"))
    return Table(
        key="silence",
        caption=f"What the silent may be doing, {occasion.period.code}: kept out of landfill",
        columns=(
            Column(heading="If the silent"),
            Column(heading="Kept out", unit=mass.sign, is_number=True),
            Column(heading="From", unit=mass.sign, is_number=True),
            Column(heading="To", unit=mass.sign, is_number=True),
        ),
        rows=tuple(rows),
    )


def _assumed(odds: float) -> str:
    return "are like those who answered" if odds == 1 else f"have 1/{odds:g} of their odds"


def _measures_chart(occasion: Occasion, account: DiversionAccount) -> Chart:
    """What went into bins, less what would not have gone to landfill, less what is not new."""
    mass, period = occasion.mass, occasion.period.code
    gross, bound, additional, before = (
        account.figure(one)
        for one in (Measure.GROSS, Measure.LANDFILL_BOUND, Measure.ADDITIONAL, Measure.COMPOSTED_BEFORE)
    )
    filed = [figure.headline.value for figure in (gross, bound, additional, before)]
    bars = (
        _bar(mass, MEASURES[Measure.GROSS], gross),
        _fall(mass, "Was composted before", filed[3]),
        _fall(mass, "Went elsewhere, or to trash that is not landfilled", filed[0] - filed[3] - filed[1]),
        _bar(mass, MEASURES[Measure.LANDFILL_BOUND], bound),
        _fall(mass, "From households that composted before, or did not say", filed[1] - filed[2]),
        _bar(mass, "From households new to composting", additional),
    )
    return Chart(
        key="measures",
        caption=f"From what went into bins to what is new, {period}",
        unit=mass.sign,
        bars=bars,
        shape="falls",
        alt="Bar chart, each part taken from what stands above it: "
        + "; ".join(f"{bar.label} {bar.printed} {mass.sign}" for bar in bars),
    )


def _fall(mass: MassUnit, label: str, tonnes: float) -> Bar:
    """What is taken off; sums of floats may leave a last bit, and nothing is not less than nothing."""
    off = mass.of(-max(tonnes, 0.0))
    return Bar(label=label, value=float(off.value or 0), printed=off.printed, series=1)


def _bar(mass: MassUnit, label: str, figure: Figure) -> Bar:
    low, high = mass.of(figure.said_lower), mass.of(figure.said_upper)
    filed = mass.of(figure.headline.value)
    return Bar(
        label=label,
        value=float(filed.value or 0),
        lower=low.value,
        upper=high.value,
        printed=filed.printed,
    )


def _silence_chart(occasion: Occasion, account: DiversionAccount) -> Chart:
    figure, mass = account.figure(Measure.LANDFILL_BOUND), occasion.mass
    bars = [
        Bar(
            label=f"The silent {_assumed(shown.odds)}",
            value=float(mass.of(shown.value).value or 0),
            lower=mass.of(shown.lower).value,
            upper=mass.of(shown.upper).value,
            printed=mass.of(shown.value).printed,
        )
        for shown in figure.at_odds
    ]
    nothing = mass.of(figure.nothing)
    bars.append(Bar(label="They compost nothing", value=float(nothing.value or 0), printed=nothing.printed))
    return Chart(
        key="silence",
        caption="Kept out of landfill under each assumption about the silent",
        unit=mass.sign,
        bars=tuple(bars),
        alt="Bar chart with intervals: "
        + "; ".join(f"{bar.label} {bar.printed} {mass.sign}" for bar in bars),
    )
