"""Households to call next: in the order in which answers narrow most, names only for whom they concern."""

import datetime

import pytest

from outreach.bins.models.handouts import NO_END_DAY
from outreach.filings import calling_next
from outreach.filings.gathering import Scope
from outreach.followup.models import Answer
from tests.factories.bins import make_bin_model, make_handout, make_stay
from tests.factories.followup import make_answer, make_wave
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.filings.programmes import programme

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
ON = datetime.date(2025, 8, 20)


def calls(jurisdiction, **how):
    return calling_next.calls_next(scope=Scope(jurisdiction=jurisdiction), on=ON, **how)


def newer_households(jurisdiction, count):
    """Of another band: a tumbler since half a year and more; nobody answered but five who put in a lot."""
    handed_on, model = datetime.date(2024, 12, 1), make_bin_model(family="tumbler")
    for number in range(count):
        home = make_household(jurisdiction=jurisdiction, composting_before="new")
        make_handout(household=home, bin_model=model, handed_on=handed_on)
        make_stay(household=home, family="tumbler", from_day=handed_on.toordinal(), until_day=NO_END_DAY)
        if number < 5:
            make_answer(household=home, answered_on=datetime.date(2025, 7, 5), food_ml_per_week=30_000)


def test_only_asked_households_without_an_answer_are_called():
    make_wave()
    here = programme()
    newest = make_household(jurisdiction=here)
    make_stay(household=newest, from_day=ON.toordinal() - 30, until_day=NO_END_DAY)

    found = calls(here)

    assert found.quarter == "2025-Q3"
    assert len(found.calls) == 8
    answered = set(Answer.objects.values_list("household", flat=True))
    assert not {one.household.pk for one in found.calls} & {*answered, newest.pk}
    assert [one.place for one in found.calls] == list(range(1, 9))


def test_the_stratum_where_an_answer_weighs_most_comes_first():
    here = programme()
    newer_households(here, 60)

    found = calls(here)

    strata = [one.stratum for one in found.calls]
    assert set(strata) == {"tumbler, 6 to 12 months", "mesh, 6 to 12 months"} or len(set(strata)) == 2
    assert strata[:20] == ["tumbler, 6 to 12 months"] * 20
    assert len(strata) == 55 + 8


def test_an_answer_in_review_is_not_called_for():
    here = programme()
    silent = calls(here).calls[0].household
    make_answer(
        household=silent,
        answered_on=ON,
        review_reason="the amount is not clear",
        in_force_from_day=0,
        in_force_until_day=0,
    )

    assert silent.pk not in {one.household.pk for one in calls(here).calls}


def test_within_a_stratum_the_order_is_shuffled_and_the_same_again():
    here = programme(households=60)

    numbers = [one.household.pk for one in calls(here).calls]

    assert numbers == [one.household.pk for one in calls(here).calls]
    assert numbers != sorted(numbers)
    assert len(calls(here, most=10).calls) == 10


def test_before_there_is_an_estimate_the_order_is_by_lot_and_says_why():
    found = calls(programme(answers=2))

    assert "too few" in found.no_order_reason
    assert len(found.calls) == 22


def test_where_everybody_stopped_they_are_listed_all_the_same():
    here = programme(households=12, answers=6)
    Answer.objects.update(composting="stopped", food_ml_per_week=0, yard_ml_per_week=0)

    assert len(calls(here).calls) == 6


def test_names_are_for_those_who_may_reach_people(client):
    make_wave()
    programme()
    home = make_household(jurisdiction=make_jurisdiction(), street="5 Osier Bank")
    make_participant(household=home, full_name="Wendeline Ashgrove", phone="555-555-0117")
    make_stay(household=home, from_day=datetime.date(2024, 6, 1).toordinal(), until_day=NO_END_DAY)

    client.force_login(make_member(role="coordinator"))
    office = client.get("/follow-up/call-next/").content.decode()
    button = client.get("/follow-up/").content.decode()
    client.force_login(make_member(role="auditor"))
    auditor = client.get("/follow-up/call-next/").content.decode()
    client.force_login(make_member(role="door_crew"))

    assert "Wendeline Ashgrove, 555-555-0117" in office
    assert 'href="/follow-up/call-next/"' in button
    assert f"Household {home.pk}" in auditor
    assert "Wendeline" not in auditor
    assert "Osier" not in auditor
    assert client.get("/follow-up/call-next/").status_code == 403
