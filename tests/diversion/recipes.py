"""Invented programmes, simulated from a seed, as rows and as the cells that the estimators are fed.

Amounts and exposures are drawn as real numbers; cells hold integers, so both are scaled by FINE and the figures are
scaled back. Nothing in here estimates anything.
"""

import math
from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from diversion.cells import AnswerCell, ExposureCell, QuitCount
from diversion.inputs import Quarter, QuarterCells
from diversion.quarter_rates import Assumptions, quarter_rates
from diversion.retention import NO_AGEING, QuittingRate
from diversion.terms import quarter_terms

FINE = 10**6
DAYS, DECILITRES = 7, 10
QUARTER = Quarter(year=2025, quarter=1)
SIGMA = 0.8


@dataclass(frozen=True, kw_only=True)
class Rows:
    """One row per household: place, exposure in weeks, whether it answered and what, and the truth of all."""

    jurisdiction: np.ndarray
    family: np.ndarray
    band: np.ndarray
    weeks: np.ndarray
    active: np.ndarray
    answers: np.ndarray
    litres: np.ndarray
    gap: np.ndarray
    months: np.ndarray
    truth: float
    unsaid: np.ndarray | None = None  # composts, but did not say how much


@dataclass(frozen=True, kw_only=True)
class Household:
    """The draws that both recipes share."""

    u: np.ndarray
    z: np.ndarray
    jurisdiction: np.ndarray
    family: np.ndarray
    effect: np.ndarray
    tenure: np.ndarray
    months_exposed: np.ndarray
    weeks: np.ndarray
    quit: np.ndarray

    @property
    def fraction(self):
        held = self.tenure - self.months_exposed
        return np.clip(self.quit - held, 0, self.months_exposed) / self.months_exposed

    @property
    def middle(self):
        return self.tenure - self.months_exposed / 2


def draw_households(*, size, oldest, seed, run):
    g = np.random.default_rng([seed, run])
    u, z = g.random((size, 8)).T, g.standard_normal((size, 3)).T
    jurisdiction = np.where(u[0] < 0.6, 0, np.where(u[0] < 0.9, 1, 2))
    family = np.where(u[1] < 0.5, 0, np.where(u[1] < 0.85, 1, 2))
    tenure = 0.75 + (oldest - 0.75) * u[2]
    exposed = np.minimum(tenure, 3)
    return Household(
        u=u,
        z=z,
        jurisdiction=jurisdiction,
        family=family,
        effect=np.array([0, -0.1, 0.2])[jurisdiction] + np.array([0, 0.1, -0.2])[family],
        tenure=tenure,
        months_exposed=exposed,
        weeks=np.maximum(exposed * 13 / 3 - 2 * (tenure < 3.5), 0.25),
        quit=np.where(u[3] < 0.92, 87 * (-np.log(1 - u[4])) ** 1.25, 0),
    )


def programme(*, size, oldest, seed, run, intercept, odds_ratio=1.0):
    """Answers about the quarter itself; who still composts answers with that odds ratio."""
    h = draw_households(size=size, oldest=oldest, seed=seed, run=run)
    food = 2.5 * np.exp(SIGMA * h.z[0] - SIGMA**2 / 2 + h.effect)
    yard = np.where(h.u[5] < 0.6, 2.5 * np.exp(h.z[1] - 0.5 + h.effect), 0)
    active = h.u[6] < h.fraction
    keen = intercept + math.log(odds_ratio) * active + np.array([0.3, 0, -0.5])[h.jurisdiction]
    return Rows(
        jurisdiction=h.jurisdiction,
        family=h.family,
        band=band_of(h.middle),
        weeks=h.weeks,
        active=active,
        answers=h.u[7] < 1 / (1 + np.exp(-keen)),
        litres=np.where(active, (food + yard) * np.exp(0.5 * h.z[2] - 0.125), 0),
        gap=np.zeros(size),
        months=h.middle,
        truth=float((h.weeks * h.fraction * (food + yard)).sum()),
    )


def stale_programme(*, run, size=3000, oldest=60, seed=105, intercept=-0.66):
    """Answers up to 18 months old, about food only."""
    h = draw_households(size=size, oldest=oldest, seed=seed, run=run)
    food = 2.5 * np.exp(SIGMA * h.z[0] - SIGMA**2 / 2 + h.effect)
    months = h.tenure - h.u[5] * np.clip(h.tenure - 3, 0, 18)
    active = h.quit > months
    keen = intercept + np.array([0.3, 0, -0.5])[h.jurisdiction]
    return Rows(
        jurisdiction=h.jurisdiction,
        family=h.family,
        band=band_of(h.middle),
        weeks=h.weeks,
        active=active,
        answers=(h.u[7] < 1 / (1 + np.exp(-keen))) & (h.tenure > 3),
        litres=np.where(active, food * np.exp(0.5 * h.z[2] - 0.125), 0),
        gap=np.maximum(h.middle - months, 0),
        months=months,
        truth=float((h.weeks * h.fraction * food).sum()),
    )


def band_of(months):
    return np.searchsorted([6, 12, 24], months, side="right")


def quit_counts(rows):
    asked = rows.answers
    pairs = zip(rows.months[asked].tolist(), rows.active[asked].tolist(), strict=True)
    return [QuitCount(months=months, still=int(active), stopped=int(not active)) for months, active in pairs]


def cells_of(rows):
    """Cells with one still-composting flag and gap each; exact integers, however large."""
    days = np.rint(rows.weeks * DAYS * FINE).astype(np.int64)
    amounts = np.rint(rows.litres * DECILITRES * FINE).astype(np.int64)
    asked = rows.answers
    unsaid = np.zeros_like(asked) if rows.unsaid is None else rows.unsaid & rows.active
    amounts = np.where(unsaid, 0, amounts)
    sums = defaultdict(lambda: np.zeros(6, dtype=object))
    columns = (rows.jurisdiction, rows.family, rows.band, rows.active, rows.gap, unsaid, days, amounts)
    for *key, d, v in zip(*(column[asked].tolist() for column in columns), strict=True):
        sums[tuple(key)] += np.array((1, d, d * d, d * v, d * d * v, d * d * v * v), dtype=object)
    return QuarterCells(
        quarter=QUARTER,
        exposure=exposure_of(rows, days),
        answers=tuple(_answers(key, numbers) for key, numbers in sums.items()),
    )


def exposure_of(rows, days):
    codes = 100 * rows.jurisdiction + 10 * rows.family + rows.band
    present, where, households = np.unique(codes, return_inverse=True, return_counts=True)
    totals = np.zeros(len(present), dtype=np.int64)
    np.add.at(totals, where, days)
    return tuple(
        ExposureCell(**_place(code // 100, code // 10 % 10, code % 10), households=n, days=d)
        for code, n, d in zip(present.tolist(), households.tolist(), totals.tolist(), strict=True)
    )


def _place(jurisdiction, family, band):
    return {"jurisdiction": str(jurisdiction), "district": "", "family": str(family), "band": band}


def _answers(key, numbers):
    *place, active, gap, unsaid = key
    n, t, tt, tf, ttf, ttff = numbers.tolist()
    return AnswerCell(
        **_place(*place),
        still_composting=active,
        gap_months=gap,
        food_given=not unsaid,
        answers=n,
        days=t,
        days_sq=tt,
        days_food=tf,
        days_sq_food=ttf,
        days_sq_food_sq=ttff,
    )


def estimated(rows, quitting: QuittingRate = NO_AGEING):
    """The rates of the programme, and the terms of its one figure: litres."""
    assumptions = Assumptions(densities=(1, 1, 1, 1), quitting=quitting, index=None)
    rates = quarter_rates(cells_of(rows), assumptions)
    weights = np.zeros((1, len(rates.parts), 16))
    weights[0, :, 0] = FINE**-2
    return rates, quarter_terms(rates, weights)
