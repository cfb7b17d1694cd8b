"""Rows of a printed sign-in sheet find their place on the list by the code, also after somebody checked them in."""

from datetime import UTC, datetime

import pytest

from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops import registering, row_codes
from outreach.workshops.models import Registration
from tests.factories.households import make_household, make_participant
from tests.factories.paperwork import PLACES, make_csv
from tests.factories.workshops import make_registration, make_workshop

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
HEADINGS = ["Code", "Name", "Address", "Bin y/n"]
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def booked():
    """Ada is expected, under the name and address that she gave when she signed up."""
    home = make_household(street="5 Reed Street")
    ada = make_participant(household=home, full_name="Ada Holm")
    return make_registration(workshop=make_workshop(), participant=ada)


def taken_in(*rows, title="Sign-in"):
    return take_in(
        [("places.csv", PLACES), ("sheet.csv", make_csv([[title], HEADINGS, *rows]))], by=None, at=AT
    )


def reasons():
    return " ".join(PaperworkRow.objects.values_list("review_reason", flat=True))


def test_a_code_alone_says_who_came_and_where(booked):
    counts = taken_in([row_codes.code_of(booked.pk), "", "", ""]).counts

    booked.refresh_from_db()
    assert booked.state == "attended"
    assert (counts["attendances"], counts["workshops"], counts["people"], counts["households"]) == (
        1,
        0,
        0,
        0,
    )


def test_another_spelling_of_the_address_beside_the_code_makes_no_second_household(booked):
    counts = taken_in([row_codes.code_of(booked.pk), "Ada Holm", "five Reed, rear", ""]).counts

    assert (counts["attendances"], counts["households"]) == (1, 0)
    assert Registration.objects.count() == 1


def test_a_row_of_someone_who_was_checked_in_already_adds_nothing(booked, coordinator):
    registering.mark_attended(registration=booked, at=AT, by=coordinator)

    counts = taken_in([row_codes.code_of(booked.pk), "Ada Holm", "", ""]).counts

    assert (counts["attendances"], counts["already_known"]) == (0, 1)


def test_a_misread_code_is_named_and_the_row_waits(booked):
    code = row_codes.code_of(booked.pk)
    taken_in([code[:-1] + str((int(code[-1]) + 1) % 10), "", "", ""])

    assert "a digit was misread" in reasons()
    booked.refresh_from_db()
    assert booked.state == "booked"


def test_a_code_beside_another_name_does_not_check_in_the_wrong_person(booked):
    title = f"{booked.workshop.venue.name}, Tidewell - May 9, 2025"
    taken_in([row_codes.code_of(booked.pk), "Ben Ito", "7 Reed St, Tidewell 00431", ""], title=title)

    assert "belongs to another name" in reasons()
    booked.refresh_from_db()
    assert booked.state == "booked"


def test_a_code_of_no_list_is_not_read(booked):
    taken_in([row_codes.code_of(booked.pk + 1000), "", "", ""])

    assert "no place on a list has it" in reasons()
