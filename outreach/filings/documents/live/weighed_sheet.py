"""The homes that weighed, one row each, so that kilograms per reported litre are worked out from them."""

from openpyxl import Workbook

from outreach.filings import weighed
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.documents.live.grid import Formula, Grid
from outreach.filings.sections.weighing import WORDS
from outreach.followup.weighed_homes import G_PER_KG, ML_PER_LITRE

# The sum of kilograms over the sum of litres, as the ratio estimator has it.
RATIO = "=SUM(weighed_kg_{material})/SUM(reported_litres_{material})"


def write_weighed(book: Workbook, frozen: Frozen) -> None:
    """A block a material whose ratio the filing used; no sheet where it used none."""
    used = [one for one in frozen.weighed if one.calibration_if_any() is not None]
    if not used:
        return
    grid = Grid(book, "Weigh-ins", ["material", "litres", "kg"], wide=1, shown_as="0.000")
    grid.put(
        "Each row is a home: what it reported and what it weighed over the same weeks. A change moves all."
    )
    grid.head("Material", "Reported, litres", "Weighed, kg")
    for one in used:
        first = grid.row + 1
        for home in one.homes:
            grid.put(WORDS[one.material], home.reported_ml / ML_PER_LITRE, home.weighed_g / G_PER_KG)
        grid.name(f"reported_litres_{one.material}", "litres", first, grid.row)
        grid.name(f"weighed_kg_{one.material}", "kg", first, grid.row)


def density_of(frozen: Frozen, material: str) -> tuple[float | Formula, str]:
    """What turns a litre into kilograms, and where it is from: the homes that weighed, or what was published."""
    inputs = frozen.inputs
    factors = inputs.factors
    published = factors.food_density if material == "food" else factors.yard_density
    ratio = getattr(inputs, weighed.FIELDS[material])
    if ratio is None:
        return published.value, published.source
    who = "volunteers" if ratio.are_volunteers else "randomly picked homes"
    source = f"weighed by {ratio.homes} {who} of this programme instead of published density"
    if not any(one.material == material and one.homes for one in frozen.weighed):
        return ratio.kg_per_litre, source
    return Formula(RATIO.format(material=material)), f"{source}; see Weigh-ins"
