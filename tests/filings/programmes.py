"""A small invented programme in the database, for tests of whole filings."""

import datetime

from outreach.bins.models.handouts import NO_END_DAY
from tests.factories.bins import make_bin_model, make_handout, make_stay
from tests.factories.followup import make_answer
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction
from tests.factories.workshops import make_registration, make_workshop

HELD_ON = datetime.date(2024, 9, 7)
ANSWERED_ON = datetime.date(2025, 5, 16)


def programme(*, households: int = 24, answers: int = 16, jurisdiction=None):
    """One workshop in 2024; every household took a mesh bin, some answered in May 2025. Whole numbers only."""
    jurisdiction = jurisdiction or make_jurisdiction(name="Quillby")
    model = make_bin_model(family="mesh")
    workshop = make_workshop(held_on=HELD_ON, state="held", jurisdiction=jurisdiction)
    for number in range(households):
        household = make_household(jurisdiction=jurisdiction, composting_before="new")
        make_registration(
            workshop=workshop, participant=make_participant(household=household), state="attended"
        )
        make_handout(household=household, workshop=workshop, bin_model=model, handed_on=HELD_ON)
        make_stay(household=household, family="mesh", from_day=HELD_ON.toordinal(), until_day=NO_END_DAY)
        if number < answers:
            _answer(household, number)
    return jurisdiction


def _answer(household, number):
    stopped = number % 4 == 3
    make_answer(
        household=household,
        answered_on=ANSWERED_ON,
        composting="stopped" if stopped else "yes",
        food_ml_per_week=0 if stopped else 2000 + 500 * (number % 4),
        yard_ml_per_week=0 if stopped else 10_000,
        food_trash_percent=100,
        food_composted_percent=0,
        yard_trash_percent=50,
        yard_composted_percent=50,
    )
