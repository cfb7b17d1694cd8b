"""Weigh-ins: what homes weighed against what they reported, and whether that stands instead of a published density."""

from diversion.calibration import Calibration
from diversion.settings import FEWEST_WEIGHED_HOMES
from outreach.filings.occasion import Occasion
from outreach.filings.report import Cell, Column, Number, Section, Table
from outreach.followup.weighed_homes import G_PER_KG, ML_PER_LITRE, WeighedMaterial

WORDS = {"food": "Food scraps", "yard": "Yard trimmings"}
VOLUNTEERS = (
    "They count as volunteers, who may report better than others: so the draws let the ratio be up to a quarter "
    "lower."
)


def weighed(occasion: Occasion) -> tuple[Section, ...]:
    """Nothing where nobody has weighed."""
    if not any(one.homes for one in occasion.inputs.weighed):
        return ()
    found = [(one, one.calibration_if_any()) for one in occasion.inputs.weighed]
    return (
        Section(
            key="weigh_ins",
            heading="Weigh-ins",
            paragraphs=tuple(_in_words(occasion, *one) for one in found),
            tables=(
                Table(
                    key="weigh_ins",
                    caption="Weighed against reported, over the same weeks",
                    columns=(
                        Column(heading="Material"),
                        Column(heading="Homes", is_number=True),
                        Column(heading="Reported", unit="L", is_number=True),
                        Column(heading="Weighed", unit="kg", is_number=True),
                        Column(heading="Ratio", unit="kg/L", is_number=True),
                        Column(heading="90 % from", is_number=True),
                        Column(heading="90 % to", is_number=True),
                        Column(heading="Published", unit="kg/L", is_number=True),
                    ),
                    rows=tuple(_row(occasion, *one) for one in found),
                    note="All seasons of the programme up to the cut-off, whatever the jurisdiction.",
                ),
            ),
        ),
    )


def _in_words(occasion: Occasion, one: WeighedMaterial, ratio: Calibration | None) -> str:
    name = WORDS[one.material]
    if ratio is None:
        return (
            f"{name}: so far {len(one.homes):,} of the {FEWEST_WEIGHED_HOMES} homes that a ratio needs; volumes are "
            "turned into mass by the published density."
        )
    start = f"{name}: weighed by {len(one.homes):,} homes instead of the published density."
    if one.homes_drawn is None:
        return f"{start} Not all of them were drawn at random. {VOLUNTEERS}"
    share = f"{len(one.homes):,} of {one.homes_drawn:,} homes that were drawn at random weighed"
    if ratio.are_volunteers:
        return f"{start} Only {share}. {VOLUNTEERS}"
    return f"{start} {share}, so that they stand for everybody."


def _row(occasion: Occasion, one: WeighedMaterial, ratio: Calibration | None) -> tuple[Cell, ...]:
    litres = sum(home.reported_ml for home in one.homes) / ML_PER_LITRE
    kilograms = sum(home.weighed_g for home in one.homes) / G_PER_KG
    factors = occasion.inputs.period.factors
    published = factors.food_density if one.material == "food" else factors.yard_density
    ratios = (ratio.kg_per_litre, ratio.lower, ratio.upper) if ratio else (None, None, None)
    return (
        WORDS[one.material],
        Number(value=len(one.homes), printed=f"{len(one.homes):,}"),
        Number(value=litres, printed=f"{litres:,.1f}"),
        Number(value=kilograms, printed=f"{kilograms:,.1f}"),
        *(_ratio(value) for value in (*ratios, published.value)),
    )


def _ratio(value: float | None) -> Number:
    return Number(value=value, printed="–" if value is None else f"{value:.3f}")
