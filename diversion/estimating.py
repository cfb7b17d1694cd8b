"""From the inputs of an account to its figures: the order in which the steps of the method are taken."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from diversion.alike import without_false_intervals
from diversion.browns import Browns, browns_of, with_browns
from diversion.figures import Figure, LandfillBound, Measure, Stratum
from diversion.inputs import AccountInputs, QuarterCells
from diversion.linear import ASKED, MEASURES
from diversion.parts import Estimated
from diversion.population import Array
from diversion.process import CompostingProcess
from diversion.quarter_rates import Assumptions, QuarterRates, quarter_rates
from diversion.retention import NO_AGEING, QuittingRate, quitting_rate
from diversion.season import YardIndex
from diversion.settings import BAND_NAMES
from diversion.terms import Errors, figures, quarter_terms, silent_ratio
from diversion.warming import Warming
from diversion.weights import STREAMS, FigureName, FigureWeights, Site, densities, figure_weights

# Version of the method from which answers that are all alike give no interval.
NO_INTERVAL_SINCE = 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Basis:
    """What the whole period is estimated with.

    Parameters
    ----------
    assumptions : Assumptions
    sites : dict of str to Site
        By jurisdiction.
    process : CompostingProcess
    warming : Warming
    years : tuple of int
        Of the calendar-year view.
    """

    assumptions: Assumptions
    sites: dict[str, Site]
    process: CompostingProcess
    warming: Warming
    years: tuple[int, ...]

    @classmethod
    def of(cls, inputs: AccountInputs) -> "Basis":
        """The central values of the factor set under the method settings."""
        method, factors = inputs.settings, inputs.factors
        return cls(
            assumptions=Assumptions(
                densities=densities(inputs),
                quitting=_quitting(inputs),
                index=YardIndex.from_months(factors.yard_index_by_month) if method.apply_season else None,
                season_fewest_answers=method.season_fewest_answers,
            ),
            sites={
                settings.code: Site.of(settings, factors=factors, method=method)
                for settings in inputs.jurisdictions
            },
            process=CompostingProcess.published(factors=factors, n2o_as_printed=method.n2o_as_printed),
            warming=Warming.under(method.report, method.horizon, factors=factors),
            years=method.calendar_years or (inputs.quarters[-1].quarter.year,),
        )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Estimation:
    """The estimated quarters of a period, and the figures that they add up to."""

    basis: Basis
    quarters: tuple[Estimated, ...]
    figures: tuple[Figure, ...]
    browns: Browns | None = None


def estimate(inputs: AccountInputs, quarters: Sequence[QuarterCells]) -> Estimation:
    """Estimate every figure of a period.

    Parameters
    ----------
    inputs : AccountInputs
    quarters : sequence of QuarterCells
        Those of its quarters in which any household had a bin, at least one.

    Raises
    ------
    TooFewAnswers
        If a quarter has fewer than five answers.
    """
    basis = Basis.of(inputs)
    method = inputs.settings
    rates = [quarter_rates(cells, basis.assumptions) for cells in quarters]
    weights = [_weights(basis, quarter) for quarter in rates]
    index = basis.assumptions.index
    made = figures(
        weights[0].names,
        [quarter_terms(quarter, weight.weights) for quarter, weight in zip(rates, weights, strict=True)],
        errors=Errors(
            quitting=basis.assumptions.quitting.standard_error, index=index.log_error if index else 0.0
        ),
        odds_shown=method.odds_shown,
        headline_odds=method.odds,
        known=_earlier_methane(inputs, basis, weights[0].names),
    )
    made, browns = _beside_the_rates(made, inputs, basis, quarters)
    tonnes = len(MEASURES) * len(STREAMS)
    return Estimation(
        basis=basis,
        quarters=tuple(
            Estimated(rates=quarter, tonnes=weight.weights[:tonnes], odds=method.odds)
            for quarter, weight in zip(rates, weights, strict=True)
        ),
        figures=made,
        browns=browns,
    )


def _beside_the_rates(
    made: tuple[Figure, ...], inputs: AccountInputs, basis: Basis, quarters: Sequence[QuarterCells]
) -> tuple[tuple[Figure, ...], Browns | None]:
    """What the rates do not tell: emissions of browns, and where no spread can be measured."""
    browns = browns_of(
        quarters,
        kg_per_litre=inputs.factors["density.browns"].value,
        quitting_per_month=basis.assumptions.quitting.per_month,
    )
    if browns is not None:
        made = with_browns(made, browns, co2e_per_tonne=basis.warming.of_process(basis.process))
    if inputs.settings.version >= NO_INTERVAL_SINCE:
        made = without_false_intervals(made, quarters)
    return made, browns


def _quitting(inputs: AccountInputs) -> QuittingRate:
    return quitting_rate(inputs.quits) if inputs.settings.apply_ageing else NO_AGEING


def _weights(basis: Basis, rates: QuarterRates) -> FigureWeights:
    return figure_weights(
        sites=[basis.sites[jurisdiction] for jurisdiction, *_ in rates.parts],
        kg_per_unit=basis.assumptions.densities,
        process_co2e=basis.warming.of_process(basis.process),
        warming=basis.warming,
        years=basis.years,
        quarter=rates.cells.quarter,
    )


def _earlier_methane(inputs: AccountInputs, basis: Basis, names: Sequence[FigureName]) -> Array:
    known = np.zeros(len(names))
    all_names = [name.name for name in names]
    # Jurisdictions often share the kind of landfill, and then each quarter's methane per tonne as well.
    kinds = {(site.materials, site.gas): code for code, site in basis.sites.items()}
    kind_of = {code: kinds[site.materials, site.gas] for code, site in basis.sites.items()}
    per_tonne: dict[tuple[str, int, int], Array] = {}
    for year in basis.years:
        start = all_names.index(f"methane_{year}")
        for past in inputs.earlier:
            key = (kind_of[past.jurisdiction], past.quarter.index, year)
            if key not in per_tonne:
                per_tonne[key] = basis.sites[past.jurisdiction].methane_in(year, buried=past.quarter)
            material = ASKED.index(past.material)
            kilograms = past.landfill_bound_tonnes * per_tonne[key][material]
            known[[start + material, start + len(ASKED)]] += kilograms
    return known


def landfill_bound(quarters: Sequence[Estimated]) -> tuple[LandfillBound, ...]:
    """Headline landfill-bound tonnes by quarter, jurisdiction and material."""
    made = []
    for quarter in quarters:
        rates = quarter.rates
        ratio = silent_ratio(rates.composting, quarter.odds)
        weeks = rates.answered + (rates.exposed - rates.answered) * ratio
        first = MEASURES.index(Measure.LANDFILL_BOUND) * len(STREAMS)
        for number, material in enumerate(ASKED):
            weights = quarter.tonnes[first + number]
            by_part = (weeks.T * (weights @ rates.rates.rates.T)).sum(axis=1)
            made += [
                LandfillBound(
                    quarter=str(rates.cells.quarter),
                    jurisdiction=code,
                    material=str(material),
                    tonnes=float(
                        sum(t for t, part in zip(by_part, rates.parts, strict=True) if part[0] == code)
                    ),
                )
                for code in sorted({part[0] for part in rates.parts})
            ]
    return tuple(made)


def strata(quarters: Sequence[Estimated], assumptions: Assumptions) -> tuple[Stratum, ...]:
    """The groups as they were estimated, by quarter."""
    kilograms = np.array(assumptions.densities)
    return tuple(
        _stratum(quarter.rates, number, kilograms)
        for quarter in quarters
        for number in range(len(quarter.rates.groups))
    )


def _stratum(rates: QuarterRates, number: int, kilograms: Array) -> Stratum:
    group = rates.groups[number]
    weekly = rates.rates.rates[number].reshape(len(MEASURES), -1) * kilograms
    gross, trash = weekly[MEASURES.index(Measure.GROSS)], weekly[MEASURES.index(Measure.LANDFILL_BOUND)]
    return Stratum(
        quarter=str(rates.cells.quarter),
        number=number + 1,
        members=tuple(
            f"{cell.key.jurisdiction}, {cell.key.family}, {BAND_NAMES[cell.key.band]}" for cell in group.cells
        ),
        answers=group.answers,
        households=group.households,
        household_weeks=float(rates.exposed[number].sum()),
        answered_weeks=float(rates.answered[number].sum()),
        still_composting=float(rates.still[number]),
        gross_food_kg_per_week=float(gross[:2].sum()),
        gross_yard_kg_per_week=float(gross[2:].sum()),
        trash_kg_per_week=float(trash.sum()),
    )
