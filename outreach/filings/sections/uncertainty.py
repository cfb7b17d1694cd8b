"""How sure: the spread over answers and factors together, and what makes it."""

from diversion.alike import has_no_spread
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
            *_flat_in_words(occasion, drawn.figures),
        ),
        tables=(
            _intervals(occasion, drawn.figures),
            _shares_table(occasion, drawn.figure(Measure.LANDFILL_BOUND)),
        ),
        charts=(_shares_chart(occasion, drawn.figure(Measure.LANDFILL_BOUND)),),
    )


def _flat_in_words(occasion: Occasion, figures: tuple[DrawnFigure, ...]) -> tuple[str, ...]:
    if not any(_is_flat(occasion, one) for one in figures if one.stream == Stream.BOTH):
        return ()
    return ("Where all answers are alike no spread can be measured; such a figure has no limits.",)


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
    limits = (None, None) if _is_flat(occasion, figure) else (figure.lower, figure.upper)
    return (
        WORDS.get(figure.name, figure.name),
        occasion.mass.sign if in_mass else figure.unit,
        *(shown(value) for value in (figure.central, figure.median, *limits)),
    )


def _is_flat(occasion: Occasion, figure: DrawnFigure) -> bool:
    """All answers behind it are alike, so that limits would hold the factors alone."""
    return has_no_spread(occasion.accounts.period.figure(figure.name, figure.stream))


def _shares(figure: DrawnFigure) -> list[tuple[str, float]]:
    shares = [(one.group, one.share) for one in figure.shares.groups]
    return [*shares, ("several acting together", max(figure.shares.together, 0.0))]


def _shares_table(occasion: Occasion, figure: DrawnFigure) -> Table:
    return Table(
        key="shares",
        caption=f"What makes the spread of the {occasion.mass.name} kept out of landfill",
        columns=(
            Column(heading="What is uncertain"),
            Column(heading="Share of the variance", is_number=True),
        ),
        rows=tuple(
            (name, Number(value=share, printed=printed_share(share))) for name, share in _shares(figure)
        ),
    )


def _shares_chart(occasion: Occasion, figure: DrawnFigure) -> Chart:
    bars = tuple(
        Bar(label=name, value=100 * share, printed=printed_share(share)) for name, share in _shares(figure)
    )
    return Chart(
        key="shares",
        caption=f"What makes the spread of the {occasion.mass.name} kept out of landfill",
        unit="",
        bars=bars,
        alt="Bar chart of shares of the variance: " + "; ".join(f"{bar.label} {bar.printed}" for bar in bars),
    )
