"""Planning from the inputs of an account: the strata of its last quarter, as `planning` needs them.

What is planned is gross, food and yard trimmings together, at the central kilograms per litre: every other tonnage is
a share of it, and asking more households narrows them alike.
"""

import math

import numpy as np

from diversion.columns import AMOUNTS
from diversion.estimating import Basis
from diversion.figures import Measure
from diversion.inputs import AccountInputs
from diversion.linear import MEASURES
from diversion.planning import AnswerPlan, PlanStratum, answers_needed, call_next, call_order
from diversion.population import Array
from diversion.quarter_rates import QuarterRates, quarter_rates


def plan_strata(inputs: AccountInputs) -> tuple[PlanStratum, ...]:
    """The groups of the last quarter, as they are estimated after thin ones were joined.

    Parameters
    ----------
    inputs : AccountInputs
        Of a quarter, or of several: answers still to be had are about the last one.

    Returns
    -------
    tuple of PlanStratum
        Named 'quarter, number' as in the account's own strata, in their order. The standard deviation is the one whose
        square over n is v_h of step 7, so that an answer's exposed weeks count in it as they do in the account.

    Raises
    ------
    TooFewAnswers
        If the quarter has fewer than five answers.
    """
    basis = Basis.of(inputs)
    rates = quarter_rates(inputs.quarters[-1], basis.assumptions)
    kilograms = _gross_kilograms(basis)
    return tuple(_stratum(rates, number, kilograms) for number in range(len(rates.groups)))


def answers_wanted(inputs: AccountInputs, *, wanted_half_width: float) -> AnswerPlan:
    """The fewest more answers that bring the interval of gross to a wanted half-width, and from which strata.

    Parameters
    ----------
    inputs : AccountInputs
    wanted_half_width : float
        Relative to the estimate, above 0; 0.15 is ± 15 %. Of asking and reporting alone: errors of the quitting rate
        and of the season do not shrink with answers.

    Raises
    ------
    TooFewAnswers, NothingToPlan, OutOfRange
    """
    return answers_needed(plan_strata(inputs), wanted_half_width=wanted_half_width)


def calls_next(inputs: AccountInputs, *, calls: int) -> tuple[tuple[str, int], ...]:
    """From which strata to call so many unanswered households next, most calls first.

    Parameters
    ----------
    inputs : AccountInputs
    calls : int
        At least 0.

    Returns
    -------
    tuple of (str, int)
        Stratum, and calls; within one, pick at random.

    Raises
    ------
    TooFewAnswers, OutOfRange
    """
    return call_next(plan_strata(inputs), calls=calls)


def call_order_next(inputs: AccountInputs, *, calls: int) -> tuple[int, ...]:
    """From which group of the last quarter to take each of so many calls, most useful first.

    Parameters
    ----------
    inputs : AccountInputs
    calls : int
        At least 0.

    Returns
    -------
    tuple of int
        Numbers of groups, from 0, in the order of `QuarterRates.groups`; within one, pick at random.

    Raises
    ------
    TooFewAnswers, OutOfRange
    """
    strata = plan_strata(inputs)
    number = {one.name: place for place, one in enumerate(strata)}
    return tuple(number[name] for name in call_order(strata, calls=calls))


def _gross_kilograms(basis: Basis) -> Array:
    """Kilograms of one unit of each of the 16 quantities that gross is made of, 0 of the others."""
    of_measure = np.array([measure == Measure.GROSS for measure in MEASURES])
    kilograms = np.outer(of_measure, np.array(basis.assumptions.densities))
    return np.asarray(kilograms.reshape(len(MEASURES) * AMOUNTS))


def _stratum(rates: QuarterRates, number: int, kilograms: Array) -> PlanStratum:
    group = rates.groups[number]
    variance = float(kilograms @ rates.rates.covariances[number] @ kilograms)
    return PlanStratum(
        name=f"{rates.cells.quarter}, {number + 1}",
        household_weeks=float(rates.exposed[number].sum()),
        kg_per_week=float(kilograms @ rates.rates.rates[number]),
        sd_kg_per_week=math.sqrt(group.answers * max(variance, 0.0)),
        answers=group.answers,
        households=group.households,
    )
