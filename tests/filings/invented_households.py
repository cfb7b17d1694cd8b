"""A recipe of invented households with their true amounts, and the records that a programme would have of them.

Nothing in here estimates anything. Kilograms per litre are the central ones of the factor set: their doubt belongs to
the draws, and not to the range that a filing says aloud.
"""

import datetime
import math
from dataclasses import dataclass

import numpy as np

from diversion.factors import load
from outreach.bins import stays
from outreach.bins.models import Handout
from outreach.followup import in_force
from outreach.followup.models import Answer
from outreach.households.models import Household
from tests.factories.bins import make_bin_model
from tests.factories.followup import make_wave
from tests.factories.places import make_jurisdiction

FACTORS = load("2026-1")
FIRST_DAY, AFTER = datetime.date(2025, 4, 1).toordinal(), datetime.date(2025, 7, 1).toordinal()
LAG, MONTH = 14, 365.25 / 12
WAVES = (6, 12, 24)
LAST_ENTRY = AFTER + 90  # answers still come in after the cut-off
ENTERED_AT = datetime.datetime(2025, 10, 1, tzinfo=datetime.UTC)
SHARES = np.array([1.0, 0.5, 0.0])


@dataclass(frozen=True, kw_only=True)
class Invented:
    """One programme: a row per household, and what is true of the quarter.

    Days are ordinals; litres are a week's at the mean of the year; `odds_ratio` is that of answering for those who
    still compost over those who stopped.
    """

    odds_ratio: float
    handed: np.ndarray
    quit: np.ndarray
    returned: np.ndarray
    place: np.ndarray
    family: np.ndarray
    prior: np.ndarray
    food: np.ndarray
    yard: np.ndarray
    trash: np.ndarray
    keen: np.ndarray
    month_levels: np.ndarray

    @property
    def kilograms(self) -> np.ndarray:
        """What each household put into its bin in the quarter."""
        start = np.clip(self.handed + LAG, FIRST_DAY, AFTER)
        end = np.maximum(np.minimum.reduce([self.quit, self.returned, np.full_like(start, AFTER)]), start)
        days = np.arange(FIRST_DAY, AFTER)
        levels = np.concatenate([[0], np.cumsum([self.level_on(day) for day in days.tolist()])])
        yard_weeks = (levels[end - FIRST_DAY] - levels[start - FIRST_DAY]) / 7
        food_kg = self.food * (end - start) / 7 * FACTORS.food_density.value
        return food_kg + self.yard * yard_weeks * FACTORS.yard_density.value

    @property
    def gross_tonnes(self) -> float:
        return float(self.kilograms.sum() / 1000)

    @property
    def landfill_bound_tonnes(self) -> float:
        return float((self.kilograms * self.trash).sum() / 1000)

    def level_on(self, day: int) -> float:
        """Yard trimmings of that day's month, relative to the mean of the year."""
        return float(self.month_levels[datetime.date.fromordinal(day).month - 1])


def invent(g: np.random.Generator, *, size: int) -> Invented:
    """Households of one programme: two places, three families of bins, handed out on ten days in thirty months."""
    workshops = np.sort(g.integers(FIRST_DAY - 820, AFTER - 20, 10))
    handed = workshops[g.integers(0, 10, size)]
    used = np.where(g.random(size) < 0.92, 87 * (-np.log(1 - g.random(size))) ** 1.25, 0) * MONTH
    family = g.choice(3, size, p=[0.5, 0.3, 0.2])
    place = g.choice(2, size, p=[0.65, 0.35])
    prior = g.choice(3, size, p=[0.15, 0.7, 0.15])
    effect = np.array([0, 0.1, -0.2])[family] + np.array([0, -0.1])[place]
    by_quarter = np.repeat(np.exp(g.normal(0, 0.2, 4)), 3)  # the season is not quite the published one
    levels = np.array(FACTORS.yard_index_by_month) * by_quarter
    return Invented(
        odds_ratio=4 ** g.random(),
        handed=handed,
        quit=handed + LAG + used.astype(int),
        returned=np.where(g.random(size) < 0.05, handed + LAG + g.integers(30, 900, size), AFTER + 999),
        place=place,
        family=family,
        prior=prior,
        food=4 * np.exp(g.normal(-0.32, 0.8, size) + effect),
        yard=np.where(g.random(size) < 0.6, 12 * np.exp(g.normal(-0.5, 1, size) + effect), 0),
        trash=np.where(prior == 0, 0, SHARES[g.choice(3, size, p=[0.6, 0.3, 0.1])]),
        keen=g.normal(-0.9, 0.6, size) - 0.4 * place,
        month_levels=levels / levels.mean(),
    )


def record(invented: Invented, g: np.random.Generator) -> None:
    """Write what the programme would know: households, handouts, and the answers of those who gave one."""
    households = _households(invented)
    _handouts(invented, households)
    stays.rebuild(households)
    waves = [make_wave(months_after=months) for months in WAVES]
    answers = []
    for number, household in enumerate(households):
        gives_shares = g.random() < 0.85
        for wave in waves:
            answer = _answer(invented, number, wave, g)
            if answer is not None:
                shares = _before(invented, number) if gives_shares else {}
                answers.append(Answer(household=household, counted_under=household, **answer, **shares))
    Answer.objects.bulk_create(answers)
    in_force.rebuild(household.pk for household in households)


def _households(invented: Invented) -> list[Household]:
    towns = [make_jurisdiction() for _ in range(2)]
    size = len(invented.handed)
    return Household.objects.bulk_create(
        [
            Household(
                street=f"{number} Alder Street",
                street_key=f"{number} ALDER STREET",
                address_key=f"{number} ALDER STREET 00000",
                began_on=datetime.date(2020, 1, 1),
                jurisdiction=towns[invented.place[number]],
                composting_before=("prior", "new", "not_said")[invented.prior[number]],
            )
            for number in range(size)
        ]
    )


def _handouts(invented: Invented, households: list[Household]) -> None:
    models = [make_bin_model(family=family) for family in ("mesh", "rigid", "tumbler")]
    Handout.objects.bulk_create(
        [
            Handout(
                household=household,
                counted_under=household,
                bin_model=models[invented.family[number]],
                handed_on=datetime.date.fromordinal(int(invented.handed[number])),
                returned_on=_returned_on(int(invented.returned[number])),
                happened_at=ENTERED_AT,
                entered_at=ENTERED_AT,
                allowance="bin",
                window_from_on=datetime.date(2020, 1, 1),
                slot=1,
                slots=1,
            )
            for number, household in enumerate(households)
        ]
    )


def _returned_on(day: int) -> datetime.date | None:
    return datetime.date.fromordinal(day) if day < LAST_ENTRY else None


def _answer(invented: Invented, number: int, wave, g: np.random.Generator) -> dict | None:
    """What a household answers to a wave; most within weeks, one in ten up to four months late, or never."""
    due = int(invented.handed[number] + wave.months_after * MONTH)
    day = due + int(g.integers(30, 120) if g.random() < 0.1 else g.exponential(12))
    active = day < min(invented.quit[number], invented.returned[number])
    chance = 1 / (1 + math.exp(-invented.keen[number] - math.log(invented.odds_ratio) * active))
    noise = np.exp(g.normal(-0.125, 0.5, 2))  # of mean 1: households are right on average
    if day >= min(LAST_ENTRY, invented.returned[number]) or g.random() >= chance:
        return None
    on = datetime.date.fromordinal(day)
    facts = {"wave": wave, "channel": "paper", "answered_on": on, "received_on": on, "entered_at": ENTERED_AT}
    if not active:
        return facts | {"composting": "stopped", "food_ml_per_week": 0, "yard_ml_per_week": 0}
    level = invented.level_on(day - 15)  # the question is about the month before
    amounts = np.rint(1000 * noise * [invented.food[number], invented.yard[number] * level]).astype(int)
    said = g.random(2) < 0.95
    return facts | {
        "composting": "yes",
        "food_ml_per_week": int(amounts[0]) if said[0] else None,
        "yard_ml_per_week": int(amounts[1]) if said[1] else None,
    }


def _before(invented: Invented, number: int) -> dict:
    trash = int(100 * invented.trash[number])
    composted = 100 if invented.prior[number] == 0 else 0
    return {
        "food_trash_percent": trash,
        "food_composted_percent": composted,
        "yard_trash_percent": trash,
        "yard_composted_percent": composted,
    }
