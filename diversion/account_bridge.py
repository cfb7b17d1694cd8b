"""Why a headline changed between two accounts: each account's figure as a product of its drivers, then the bridge."""

from diversion.account_draws import period_totals
from diversion.bridge import Bridge, Drivers, bridge
from diversion.conversions import DAYS_PER_WEEK
from diversion.draw_inputs import VOLUME, WEIGHT, places_of
from diversion.drawing import Array
from diversion.errors import DiversionError
from diversion.estimating import Estimation, estimate
from diversion.figures import Measure
from diversion.inputs import AccountInputs
from diversion.materials import Material

MEASURE_BEHIND = {
    **{str(measure): measure for measure in Measure},
    "methane_lifetime": Measure.LANDFILL_BOUND,
    "process": Measure.GROSS,
    "net": Measure.GROSS,
}
MATERIALS = (Material.FOOD, Material.YARD)
# Where the material by volume stands among the four amounts.
BY_VOLUME = {material: places_of(1).index((0, Measure.GROSS, material, VOLUME)) for material in MATERIALS}


class NoBridge(DiversionError):
    """There is no bridge for a figure of that name.

    Attributes
    ----------
    figure : str
    """

    def __init__(self, *, figure: str) -> None:
        self.figure = figure
        super().__init__(f"There is no bridge for {figure!r}. Choose one of: {', '.join(MEASURE_BEHIND)}.")


def bridge_accounts(before: AccountInputs, after: AccountInputs, *, figure: str) -> Bridge:
    """Split the change of a headline figure between two accounts.

    Parameters
    ----------
    before, after : AccountInputs
        Of two periods, or of one period as filed and as the records stand now.
    figure : str
        A `Measure`, 'methane_lifetime', 'process' or 'net'; both materials together.

    Returns
    -------
    Bridge
        More households, longer holding, answers (the assumption about the silent included), density or weigh-ins, and
        factors or method; `before` and `after` are the headlines.

    Raises
    ------
    NoBridge
        If the figure is none of these.
    TooFewAnswers
        If an account has no estimate.
    """
    return bridge(drivers_of(before, figure=figure), drivers_of(after, figure=figure))


def drivers_of(inputs: AccountInputs, *, figure: str) -> Drivers:
    """What a headline figure of an account is the product of; raises as `bridge_accounts`."""
    if figure not in MEASURE_BEHIND:
        raise NoBridge(figure=figure)
    with_bins = [cells for cells in inputs.quarters if any(cell.households for cell in cells.exposure)]
    estimation = estimate(inputs, with_bins)
    households = max(sum(cell.households for cell in cells.exposure) for cells in with_bins)
    weeks = sum(cell.days for cells in with_bins for cell in cells.exposure) / DAYS_PER_WEEK
    totals = period_totals(estimation.quarters, tuple(estimation.basis.sites.values())).totals.sum(axis=0)
    measure = MEASURE_BEHIND[figure]
    kg_per_unit = estimation.basis.assumptions.densities
    densities = {material: kg_per_unit[BY_VOLUME[material]] for material in MATERIALS}
    litres = {m: _total(totals, measure, m, VOLUME) for m in MATERIALS}
    kilograms = {m: _total(totals, measure, m, WEIGHT) for m in MATERIALS}
    return Drivers(
        households=households,
        weeks_per_household=weeks / households,
        litres_per_household_week={m: litres[m] / weeks for m in MATERIALS},
        kg_per_household_week={m: kilograms[m] / weeks for m in MATERIALS},
        kg_per_litre=densities,
        figure_per_kg={
            m: _per_kg(_headline(estimation, figure, m), litres[m] * densities[m] + kilograms[m])
            for m in MATERIALS
        },
    )


def _total(totals: Array, measure: Measure, material: Material, unit: int) -> float:
    return float(totals[places_of(1).index((0, measure, material, unit))])


def _headline(estimation: Estimation, figure: str, material: Material) -> float:
    return next(
        made.headline.value
        for made in estimation.figures
        if (made.name, str(made.stream)) == (figure, str(material))
    )


def _per_kg(figure: float, kilograms: float) -> float:
    return figure / kilograms if kilograms > 0 else 0.0
