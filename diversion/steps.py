"""The working of an account: each step of the method with the figures and factors that it used."""

from collections.abc import Sequence

from diversion.conversions import DAYS_PER_WEEK
from diversion.estimating import Estimation
from diversion.figures import Measure, Stream
from diversion.inputs import AccountInputs, QuarterCells
from diversion.linear import ASKED
from diversion.settings import CONFIDENCE, FEWEST_ANSWERS
from diversion.terms import silent_ratio
from diversion.working import Step, StepFigure, Working


def counting(quarters: Sequence[QuarterCells]) -> Working:
    """The working where there is no estimate: steps 1 and 2 only."""
    return Working.of(_exposure(quarters), _answers(quarters))


def working(inputs: AccountInputs, estimation: Estimation) -> Working:
    """The working of an estimated period, steps 1 to 14 of the method."""
    return Working.of(
        _exposure(inputs.quarters),
        _answers(inputs.quarters),
        _ageing(inputs, estimation),
        _season(inputs, estimation),
        _shares(inputs),
        _joining(estimation),
        _totals(inputs, estimation),
        _silence(inputs, estimation),
        _weigh_ins(inputs),
        _methane(inputs, estimation),
        _net(inputs, estimation),
        _draws(),
        _year(inputs),
        _words(estimation),
    )


def _exposure(quarters: Sequence[QuarterCells]) -> Step:
    cells = [cell for quarter in quarters for cell in quarter.exposure]
    return Step(
        title="Exposure",
        formula="days in the period with a bin in use, from 14 days after the handout until return or move, in weeks; "
        "two bins of a household count once",
        figures=(
            StepFigure(
                name="households with a bin, last quarter",
                value=sum(c.households for c in quarters[-1].exposure),
            ),
            StepFigure(
                name="household-weeks", value=sum(c.days for c in cells) / DAYS_PER_WEEK, unit="weeks"
            ),
            StepFigure(
                name="of these not yet asked",
                value=sum(c.unasked_days for c in cells) / DAYS_PER_WEEK,
                unit="weeks",
            ),
        ),
    )


def _answers(quarters: Sequence[QuarterCells]) -> Step:
    return Step(
        title="Answer in force",
        formula="the latest of a household with a bin, at most 18 months before and 45 days after the end of the "
        "quarter; 'stopped' is an answer of 0",
        figures=tuple(
            StepFigure(
                name=f"answers in force, {quarter.quarter}", value=sum(c.answers for c in quarter.answers)
            )
            for quarter in quarters
        ),
    )


def _ageing(inputs: AccountInputs, estimation: Estimation) -> Step:
    quitting = estimation.basis.assumptions.quitting
    origin = "assumed" if quitting.assumed else f"from {quitting.answers} answers with {quitting.stops} stops"
    return Step(
        title="Ageing",
        formula=f"amount x exp(-rate x months since the answer); rate {origin}",
        applied=inputs.settings.apply_ageing,
        figures=(
            StepFigure(name="quitting rate", value=quitting.per_month, unit="1/month"),
            StepFigure(name="its standard error", value=quitting.standard_error, unit="1/month"),
        ),
    )


def _season(inputs: AccountInputs, estimation: Estimation) -> Step:
    said = {
        "quarter": "yard trimmings from answers about the quarter itself",
        "index": "yard trimmings x index of the quarter / index of the quarter asked about",
        "none": "yard trimmings as reported",
    }
    index = estimation.basis.assumptions.index
    quarters = [quarter.rates for quarter in estimation.quarters]
    return Step(
        title="Yard season",
        formula="; ".join(f"{rates.cells.quarter}: {said[rates.season]}" for rates in quarters),
        applied=inputs.settings.apply_season,
        figures=(
            *(
                StepFigure(
                    name=f"answers about the quarter, {rates.cells.quarter}", value=rates.same_quarter_answers
                )
                for rates in quarters
            ),
            *(
                StepFigure(name=f"index of quarter {number}", value=value)
                for number, value in enumerate(index.by_quarter if index else (), start=1)
            ),
        ),
    )


def _shares(inputs: AccountInputs) -> Step:
    return Step(
        title="Per household",
        formula="gross = amount; landfill-bound = amount x share that went to trash before x share of trash "
        "landfilled; additional = landfill-bound of households new to composting; composted before = amount x "
        "share composted before. Shares not given are taken from those who gave them, weighed by amount",
        figures=tuple(
            StepFigure(
                name=f"share of trash landfilled, {settings.code}{', yard trimmings banned' * settings.yard_banned}",
                value=settings.landfilled_share,
            )
            for settings in inputs.jurisdictions
        ),
    )


def _joining(estimation: Estimation) -> Step:
    return Step(
        title="Strata",
        formula=f"jurisdiction x bin family x months since first handout; those with fewer than {FEWEST_ANSWERS} "
        "answers are joined with their neighbours",
        figures=tuple(
            StepFigure(name=f"groups, {quarter.rates.cells.quarter}", value=len(quarter.rates.groups))
            for quarter in estimation.quarters
        ),
    )


def _totals(inputs: AccountInputs, estimation: Estimation) -> Step:
    factors = inputs.factors
    return Step(
        title="Total",
        formula=f"household-weeks x weekly rate of the answers, summed over the groups; {CONFIDENCE:.0%} limits by "
        "Student's t on the log scale with half of the finite population correction",
        figures=tuple(
            StepFigure(
                name=f"{figure.name}, {figure.stream}, if the silent are alike",
                value=figure.alike.value,
                unit="t",
            )
            for figure in estimation.figures
            if figure.unit == "t"
        ),
        factors=tuple(factors.density(material) for material in ASKED),
    )


def _silence(inputs: AccountInputs, estimation: Estimation) -> Step:
    rates = [quarter.rates for quarter in estimation.quarters]
    return Step(
        title="Silence",
        formula="the silent have 1/odds of the answerers' odds of still composting: what is estimated for them is "
        "divided by p + odds(1 - p)",
        figures=(
            StepFigure(name="odds of the headline", value=inputs.settings.odds),
            *(StepFigure(name=f"p, {rate.cells.quarter}", value=rate.composting) for rate in rates),
            *(
                StepFigure(
                    name=f"ratio at odds {odds:g}, {rate.cells.quarter}",
                    value=silent_ratio(rate.composting, odds),
                )
                for rate in rates
                for odds in inputs.settings.odds_shown
            ),
        ),
    )


def _weigh_ins(inputs: AccountInputs) -> Step:
    factors = inputs.factors
    weighed = {"food": inputs.food_weighed, "yard trimmings": inputs.yard_weighed}
    used = {name: ratio for name, ratio in weighed.items() if ratio}
    published = [
        factor
        for ratio, factor in zip(weighed.values(), (factors.food_density, factors.yard_density), strict=True)
        if not ratio
    ]
    said = "; ".join(f"{name}: {ratio}, instead of the density" for name, ratio in used.items())
    return Step(
        title="Weigh-ins",
        formula=said or "no weigh-ins in this account: volumes x published density",
        applied=bool(used),
        figures=tuple(
            StepFigure(name=f"weighed {name}", value=ratio.kg_per_litre, unit="kg/L")
            for name, ratio in used.items()
        ),
        factors=tuple(published),
    )


def _methane(inputs: AccountInputs, estimation: Estimation) -> Step:
    factors, basis = inputs.factors, estimation.basis
    rates = {
        factor.key: factor
        for site in basis.sites.values()
        for factor in (factors.k(material, site.settings.precipitation) for material in ASKED)
    }
    docf = (
        (factors.docf, factors.docf_food_scenario) if inputs.settings.food_docf_scenario else (factors.docf,)
    )
    lifetimes = [(code, site.methane().tolist()) for code, site in sorted(basis.sites.items())]
    return Step(
        title="Methane",
        formula="first-order decay from half a year after burial, by phases of gas collection; lifetime = ages 0 to "
        "100; a calendar year sums over past quarters. The two views are never added",
        figures=tuple(
            StepFigure(name=f"lifetime methane of {material}, {code}", value=value, unit="kg/t")
            for code, values in lifetimes
            for material, value in zip(ASKED, values, strict=True)
        ),
        factors=(
            *(factors.doc(material) for material in ASKED),
            *docf,
            factors.mcf,
            factors.methane_fraction,
            factors.oxidation,
            factors.delay_years,
            *rates.values(),
        ),
    )


def _net(inputs: AccountInputs, estimation: Estimation) -> Step:
    factors, method = inputs.factors, inputs.settings
    n2o = factors.process_n2o_as_printed if method.n2o_as_printed else factors.process_n2o
    return Step(
        title="Net warming",
        formula="lifetime methane x its warming potential, less the emissions of composting what was not composted "
        "before; stored carbon is a memo, never added",
        figures=(
            StepFigure(
                name="composting of a tonne",
                value=estimation.basis.warming.of_process(estimation.basis.process),
                unit="kg CO2e/t",
            ),
        ),
        factors=(
            factors.process_ch4,
            n2o,
            factors.gwp_ch4(method.report, method.horizon),
            factors.gwp_n2o(method.report, method.horizon),
        ),
    )


def _draws() -> Step:
    return Step(
        title="Draws over the factors",
        formula="beside this account, not in its limits: these hold the error of the answers; the spread over answers "
        "and factors together is drawn apart",
        applied=False,
    )


def _year(inputs: AccountInputs) -> Step:
    return Step(
        title="Several quarters",
        formula="sum of the quarters; their sampling errors are added, for the same answers serve several quarters",
        applied=len(inputs.quarters) > 1,
        figures=tuple(StepFigure(name="quarter", value=str(cells.quarter)) for cells in inputs.quarters),
    )


def _words(estimation: Estimation) -> Step:
    bound = next(
        figure
        for figure in estimation.figures
        if (figure.name, figure.stream) == (Measure.LANDFILL_BOUND, Stream.BOTH)
    )
    return Step(
        title="The range to say aloud",
        formula="from the lower limit at the largest odds shown to the upper limit at odds 1",
        figures=(
            StepFigure(name="landfill-bound, headline", value=bound.headline.value, unit="t"),
            StepFigure(name="from", value=bound.said_lower, unit="t"),
            StepFigure(name="to", value=bound.said_upper, unit="t"),
        ),
    )
