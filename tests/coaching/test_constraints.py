"""Each rule of the help tables, broken through the ORM, answers with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from outreach.coaching.models import Complaint, HelpRequest
from tests.factories.coaching import (
    CAME_AT,
    CAME_ON,
    make_complaint,
    make_help_request,
    make_help_step,
    make_local_rules,
    make_visit,
)
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

DAY_BEFORE = CAME_ON - datetime.timedelta(days=1)


def broken(record, sentence, **differences):
    """Both the check before saving and the database itself refuse the record."""
    for name, value in differences.items():
        setattr(record, name, value)
    with pytest.raises(ValidationError, match=sentence):
        record.validate_constraints()
    with pytest.raises(IntegrityError), transaction.atomic():
        record.save()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"household": None}, "counts under one"),
        ({"objector": "landlord"}, "who objects"),
        ({"kind": "objection"}, "who objects"),
        ({"kind": "complaint", "due_on": None}, "has a due date"),
        ({"state": "closed", "outcome": "solved"}, "says when"),
        ({"closed_at": CAME_AT}, "says when"),
        ({"state": "closed", "closed_at": CAME_AT}, "what came of it"),
        ({"state": "advised"}, "on which day"),
        ({"state": "visited"}, "on which day"),
        ({"outcome_asked_on": CAME_ON}, "after there was advice"),
        ({"state": "advised", "advised_on": CAME_ON, "outcome_asked_on": DAY_BEFORE}, "after there was"),
    ],
)
def test_a_help_request_keeps_its_rules(differences, sentence):
    broken(make_help_request(), sentence, **differences)


def test_a_help_request_of_nobody_is_refused():
    asked = {"came_by": "public_page", "opened_at": CAME_AT, "due_on": CAME_ON}

    broken(HelpRequest(**asked), "to reach them")
    HelpRequest(**asked, phone="555-0101").full_clean()


def test_a_person_comes_with_their_household():
    made = make_help_request(household=None, phone="555-0101")

    broken(made, "household of this person", participant=make_participant())


def test_nothing_makes_two_help_requests():
    make_help_request(made_from="answer 3")
    second = make_help_request()

    second.made_from = "answer 3"
    with pytest.raises(ValidationError, match="already"):
        second.full_clean()


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"case_number": ""}, "its case number"),
        ({"authority": ""}, "its case number"),
        ({"ordered_by_on": DAY_BEFORE}, "after the complaint came in"),
        ({"reported_back_on": DAY_BEFORE, "outcome": "mended"}, "after it came in"),
        ({"reported_back_on": CAME_ON}, "what was found"),
    ],
)
def test_a_complaint_keeps_its_rules(differences, sentence):
    broken(make_complaint(), sentence, **differences)


def test_a_case_is_recorded_once():
    first = make_complaint(case_number="VC-9")
    other = make_help_request(kind="complaint", came_by="authority")

    broken(
        Complaint(help_request=other, authority=first.authority, case_number="VC-9", received_on=CAME_ON),
        "already recorded",
    )


def test_advice_says_what_was_said():
    broken(make_help_step(), "what was said", kind="advice_said", words="")


@pytest.mark.parametrize("empty", ["seen", "visited_by"])
def test_a_visit_says_who_saw_what(empty):
    broken(make_visit(), "who went and what was seen", **{empty: ""})


def test_there_is_one_visit_a_day():
    first = make_visit()
    second = make_visit(help_request=first.help_request, visited_on=DAY_BEFORE, entered_by=make_member())

    broken(second, "already recorded", visited_on=CAME_ON)


def test_a_symptom_is_named_once_and_known():
    made = make_help_request(symptoms=["ants", "dry"])
    ants, dry = made.symptoms.all()

    broken(dry, "named once", symptom="ants")
    broken(ants, "from the list", symptom="gnomes")


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"lot_line_feet": 1001}, "from 0 to 1000 feet"),
        ({"dwelling_feet": 1001}, "from 0 to 1000 feet"),
        ({"water_feet": 1001}, "from 0 to 1000 feet"),
        ({"most_bins": 0}, "from 1 to 20"),
        ({"source": ""}, "where the rules were read"),
        ({"placement": "behind the house"}, "in both languages"),
    ],
)
def test_local_rules_keep_theirs(differences, sentence):
    broken(make_local_rules(), sentence, **differences)


def test_each_constraint_is_broken_above():
    """The sentences above are those of the tables; a new one wants a test."""
    from outreach.coaching import models

    named = {
        constraint.name
        for name in models.__all__
        if hasattr(model := getattr(models, name), "_meta")
        for constraint in model._meta.constraints
    }

    assert len(named) == 25, sorted(named)
    assert make_household().pk
