"""How sure: the spread over answers and factors together, what makes it, and how long households go on."""

from diversion import curves
from diversion.draws import DrawnFigure
from diversion.figures import Measure, Stream
from diversion.rounding import printed_share
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Number, Section, Table

WORDS = {
    str(Measure.GROSS): "Went into bins",
    str(Measure.LANDFILL_BOUND): "Kept out of landfill",
    str(Measure.ADDITIONAL): "… from households new to composting",
    str(Measure.COMPOSTED_BEFORE): "Was composted before",
    "methane_lifetime": "Methane avoided over its lifetime",
    "process": "Given off by composting itself",
    "net": "Net warming avoided",
}
SHOWN_MONTHS = 36


def how_sure(occasion: Occasion) -> Section:
    """The interval over answers and published numbers together, and the shares of each."""
    drawn = occasion.accounts.drawn
    if drawn is None:
        return Section(
            key="uncertainty", heading="How sure", paragraphs=(occasion.accounts.period.no_estimate_reason,)
        )
    return Section(
        key="uncertainty",
        heading="How sure",
        paragraphs=(
            f"Drawn {drawn.count:,} times from the answers' spread and the ranges of the published numbers together. "
            f"The limits hold 90 % of the draws, {drawn.condition}. The share of carbon that decays and the warming "
            "potential are choices, not draws.",
        ),
        tables=(_intervals(occasion, drawn.figures), _shares_table(drawn.figure(Measure.LANDFILL_BOUND))),
        charts=(_shares_chart(drawn.figure(Measure.LANDFILL_BOUND)),),
    )


def _intervals(occasion: Occasion, figures: tuple[DrawnFigure, ...]) -> Table:
    return Table(
        key="draws",
        caption="Answers and factors together",
        columns=(
            Column(heading="What"),
            Column(heading="Unit"),
            Column(heading="Filed", is_number=True),
            Column(heading="Middle of the draws", is_number=True),
            Column(heading="90 % from", is_number=True),
            Column(heading="90 % to", is_number=True),
        ),
        rows=tuple(_interval(occasion, one) for one in figures if one.stream == Stream.BOTH),
    )


def _interval(occasion: Occasion, figure: DrawnFigure) -> tuple[Cell, ...]:
    in_mass = figure.unit == "t"
    shown = occasion.mass.of if in_mass else number
    return (
        WORDS.get(figure.name, figure.name),
        occasion.mass.sign if in_mass else figure.unit,
        *(shown(value) for value in (figure.central, figure.median, figure.lower, figure.upper)),
    )


def _shares(figure: DrawnFigure) -> list[tuple[str, float]]:
    shares = [(one.group, one.share) for one in figure.shares.groups]
    return [*shares, ("several acting together", max(figure.shares.together, 0.0))]


def _shares_table(figure: DrawnFigure) -> Table:
    return Table(
        key="shares",
        caption="What makes the spread of the tonnes kept out of landfill",
        columns=(
            Column(heading="What is uncertain"),
            Column(heading="Share of the variance", is_number=True),
        ),
        rows=tuple(
            (name, Number(value=share, printed=printed_share(share))) for name, share in _shares(figure)
        ),
    )


def _shares_chart(figure: DrawnFigure) -> Chart:
    bars = tuple(
        Bar(label=name, value=100 * share, printed=printed_share(share)) for name, share in _shares(figure)
    )
    return Chart(
        key="shares",
        caption="What makes the spread of the tonnes kept out of landfill",
        unit="",
        bars=bars,
        alt="Bar chart of shares of the variance: " + "; ".join(f"{bar.label} {bar.printed}" for bar in bars),
    )


def how_long(occasion: Occasion) -> Section:
    """The still-composting curve: a picture and a figure of its own, no part of the tonnes."""
    counts = occasion.inputs.period.quits
    if not counts:
        return Section(
            key="retention",
            heading="How long households go on",
            paragraphs=("Nobody has been asked yet whether they still compost.",),
        )
    curve = curves.current_status(counts)
    last = min(SHOWN_MONTHS, int(curve.points[-1].months))
    mean = curve.restricted_mean(to_months=last) if last else 0.0
    return Section(
        key="retention",
        heading="How long households go on",
        paragraphs=(
            "From yes-or-no answers, each at its month; those who do not answer may stop sooner. In the first "
            f"{last} months a household composts for {mean:.1f} of them on average.",
        ),
        tables=(_curve_table(curve),),
        charts=(_curve_chart(curve),),
    )


def _curve_points(curve: curves.Curve) -> list[curves.CurvePoint]:
    """The points where the curve steps down, up to three years."""
    shown: list[curves.CurvePoint] = []
    for point in curve.points:
        if point.months <= SHOWN_MONTHS and (not shown or point.share < shown[-1].share):
            shown.append(point)
    return shown


def _curve_table(curve: curves.Curve) -> Table:
    return Table(
        key="retention",
        caption="Still composting, by months since the first handout",
        columns=(
            Column(heading="From month"),
            Column(heading="Still composting", is_number=True),
            Column(heading="90 % from", is_number=True),
            Column(heading="90 % to", is_number=True),
        ),
        rows=tuple(
            (
                f"{point.months:g}",
                *(
                    Number(value=one, printed=printed_share(one))
                    for one in (point.share, point.lower, point.upper)
                ),
            )
            for point in _curve_points(curve)
        ),
    )


def _curve_chart(curve: curves.Curve) -> Chart:
    bars = tuple(
        Bar(
            label=f"{point.months:g}",
            value=point.share,
            lower=point.lower,
            upper=point.upper,
            printed=printed_share(point.share),
        )
        for point in _curve_points(curve)
    )
    return Chart(
        key="retention",
        caption="Share still composting by months since the first handout, with its limits",
        unit="",
        shape="curve",
        bars=bars,
        alt="Falling curve: " + "; ".join(f"month {bar.label} {bar.printed}" for bar in bars),
    )
