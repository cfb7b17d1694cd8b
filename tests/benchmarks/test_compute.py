"""What an account costs beside the bare arithmetic of its totals: a ratio, never a pass on time.

The floor is the bare NumPy expression of the same ratio totals with their joint covariance: for each quarter and group,
16 rates, Σee' of the answers, and the variance of every figure.
"""

import time

import numpy as np
import pytest

from diversion.account import compute
from diversion.cells import QuitCount
from diversion.inputs import EarlierTonnes, JurisdictionSettings, MethodSettings, Quarter
from diversion.materials import Material
from tests.factories.diversion import Answer, make_answers, make_exposure, make_inputs, make_quarter

JURISDICTIONS, FAMILIES, BANDS = "ABCDE", ("mesh", "rigid"), range(4)
STRATA = len(JURISDICTIONS) * len(FAMILIES) * len(BANDS)
YEARS_BACK = 10
FIGURES, QUANTITIES = 30, 16
AIM_SECONDS = 0.050


def forty_strata(quarter):
    places = [
        {"jurisdiction": j, "district": "1", "family": f, "band": b}
        for j in JURISDICTIONS
        for f in FAMILIES
        for b in BANDS
    ]
    exposure = [make_exposure(**place, households=60, days=60 * 91) for place in places]
    kinds = (
        {"food_trash_percent": 100, "yard_trash_percent": 50, "prior": "new"},
        {"gap_months": 6},
        {"gap_months": 12},
    )
    answers = [
        make_answers([Answer(food=10 * n + len(kind), yard=7 * n) for n in range(6)], **place, **kind)
        for place in places
        for kind in kinds
    ]
    return make_quarter(quarter=quarter, exposure=tuple(exposure), answers=tuple(answers))


@pytest.fixture(scope="module")
def ten_years_old():
    """One quarter of 40 strata, with the tonnes of the ten years before it for the calendar-year view."""
    earlier = tuple(
        EarlierTonnes(
            quarter=Quarter(year=year, quarter=quarter),
            jurisdiction=code,
            material=material,
            landfill_bound_tonnes=5,
        )
        for year in range(2025 - YEARS_BACK, 2025)
        for quarter in (1, 2, 3, 4)
        for code in JURISDICTIONS
        for material in (Material.FOOD, Material.YARD)
    )
    return make_inputs(
        quarters=(forty_strata(Quarter(year=2025, quarter=1)),),
        jurisdictions=tuple(JurisdictionSettings(code=code) for code in JURISDICTIONS),
        quits=tuple(QuitCount(months=m, still=50 - m // 2, stopped=m // 2) for m in range(1, 60)),
        earlier=earlier,
        settings=MethodSettings(),
    )


def bare_totals():
    rng = np.random.default_rng(1)
    residuals = rng.random((STRATA, 18, QUANTITIES))
    rates, weights = rng.random((STRATA, QUANTITIES)), rng.random((FIGURES, STRATA, QUANTITIES))

    def once():
        squares = residuals.transpose(0, 2, 1) @ residuals
        totals = np.tensordot(weights, rates, axes=2)
        variances = np.einsum("fhq,hqr,fhr->fh", weights, squares, weights, optimize=True)
        return totals, variances.sum(axis=1)

    return once


def best_of(action, repeats=7):
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return min(times)


@pytest.mark.benchmark
def test_an_account_of_forty_strata_and_ten_years(ten_years_old):
    account = compute(ten_years_old)
    seconds, floor = best_of(lambda: compute(ten_years_old)), best_of(bare_totals())

    print(
        f"account {1000 * seconds:.1f} ms, aim {1000 * AIM_SECONDS:.0f} ms; bare totals {1000 * floor:.2f} ms; "
        f"ratio {seconds / floor:.1f}"
    )
    assert len(account.strata) == STRATA
    assert account.figure("methane_2025").headline.value > 0
