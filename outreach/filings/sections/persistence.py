"""How long households go on: the curve from answers, beside it the one from known days, and how many likely still do.

Pictures and figures of their own, no part of the tonnes.
"""

from diversion.curves import Curve, CurvePoint
from diversion.persistence import GoingOn, Persistence
from diversion.rounding import printed_share
from diversion.settings import CURVE_MONTHS, FEWEST_BEHIND_A_CURVE
from outreach.filings.masses import number
from outreach.filings.occasion import Occasion
from outreach.filings.report import Bar, Cell, Chart, Column, Number, Section, Table

HEADING = "How long households go on"
NOBODY = "Nobody has been asked yet whether they still compost."
FEW_ANSWERED = (
    f"Fewer than {FEWEST_BEHIND_A_CURVE} answers tell whether a household still composts; a curve of so few would say "
    "nothing."
)
FEW_FOLLOWED = (
    f"Days of stopping are known, but no curve is drawn from them: fewer than {FEWEST_BEHIND_A_CURVE} households were "
    "followed until one of them stopped."
)
NO_DAYS = (
    "Nobody's day of stopping is known, so there is no second curve from known days. Ask those who stopped when it "
    "was, and take bins back in the records on the day they come."
)
ANSWERED, FOLLOWED = "From answers", "From known days of stopping"


def how_long(occasion: Occasion) -> Section:
    """Both curves with their limits, mean months, and the households likely still active."""
    found = occasion.accounts.persistence
    if found is None or found.answered is None:
        asked = any(one.still + one.stopped for one in occasion.inputs.period.quits)
        return Section(key="retention", heading=HEADING, paragraphs=(FEW_ANSWERED if asked else NOBODY,))
    curves = [("retention", ANSWERED, found.answered)]
    if found.followed is not None:
        curves.append(("retention_followed", FOLLOWED, found.followed))
    return Section(
        key="retention",
        heading=HEADING,
        paragraphs=(_answered_in_words(found.answered), _followed_in_words(found), _active_in_words(found)),
        tables=(_active_table(found, curves), *(_curve_table(*one) for one in curves)),
        charts=tuple(_curve_chart(*one) for one in curves),
    )


def _answered_in_words(answered: GoingOn) -> str:
    return (
        "From yes-or-no answers, each at its month; those who do not answer may stop sooner. In the first "
        f"{answered.to_months:g} months a household composts for {answered.mean_months:.1f} of them on average."
    )


def _followed_in_words(found: Persistence) -> str:
    if found.followed is None:
        return FEW_FOLLOWED if found.followed_quits > found.stopped_undated else NO_DAYS
    undated = (
        f" {found.stopped_undated:,} of them did not say when, and stand at the middle between the last day known to "
        "compost and the day of the answer."
        if found.stopped_undated
        else ""
    )
    return (
        f"From known days (Kaplan-Meier): of {found.followed_households:,} households that answered at least once, "
        f"{found.followed_quits:,} stopped or gave the bin back.{undated} In the first {found.followed.to_months:g} "
        f"months a household composts for {found.followed.mean_months:.1f} of them on average."
    )


def _active_in_words(found: Persistence) -> str:
    return (
        f"{found.households:,} households had a bin at the end of the period. How many of them likely still composted "
        "is read from each curve at the months since their first handout, if the silent are like those who answered. A "
        f"curve ends where fewer than {FEWEST_BEHIND_A_CURVE} are behind it; beyond, it is taken to stay."
    )


def _active_table(found: Persistence, curves: list[tuple[str, str, GoingOn]]) -> Table:
    return Table(
        key="likely_active",
        caption="Households likely still composting",
        columns=(
            Column(heading="Curve"),
            Column(heading="Households with a bin", is_number=True),
            Column(heading="Likely composting", is_number=True),
            Column(heading="At its lower limits", is_number=True),
            Column(heading="At its upper limits", is_number=True),
            Column(heading="Mean months", is_number=True),
            Column(heading="Within the first", unit="months", is_number=True),
        ),
        rows=tuple(_active(found.households, words, one) for _, words, one in curves),
    )


def _active(households: int, words: str, one: GoingOn) -> tuple[Cell, ...]:
    active = (one.likely_active, one.likely_active_lower, one.likely_active_upper)
    return (
        words,
        number(households),
        *(Number(value=value, printed=f"{value:,.0f}") for value in active),
        Number(value=one.mean_months, printed=f"{one.mean_months:.1f}"),
        Number(value=one.to_months, printed=f"{one.to_months:g}"),
    )


def _shown(curve: Curve) -> list[CurvePoint]:
    """The points where the curve steps down, up to three years; of one that never does, the first."""
    shown: list[CurvePoint] = []
    for point in curve.points:
        if point.months <= CURVE_MONTHS and (not shown or point.share < shown[-1].share):
            shown.append(point)
    return shown


def _curve_table(key: str, words: str, one: GoingOn) -> Table:
    return Table(
        key=key,
        caption=f"{words}: still composting, by months since the first handout",
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
                    Number(value=share, printed=printed_share(share))
                    for share in (point.share, point.lower, point.upper)
                ),
            )
            for point in _shown(one.curve)
        ),
    )


def _curve_chart(key: str, words: str, one: GoingOn) -> Chart:
    bars = tuple(
        Bar(
            label=f"{point.months:g}",
            value=point.share,
            lower=point.lower,
            upper=point.upper,
            printed=printed_share(point.share),
        )
        for point in _shown(one.curve)
    )
    return Chart(
        key=key,
        caption=f"{words}: share still composting by months since the first handout, with its limits",
        unit="",
        shape="curve",
        bars=bars,
        alt="Falling curve: " + "; ".join(f"month {bar.label} {bar.printed}" for bar in bars),
    )
