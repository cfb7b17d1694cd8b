"""Rows of a printed sign-in sheet find their place on the list by the code, also after somebody checked them in."""

from datetime import UTC, datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops import registering, row_codes
from outreach.workshops.models import Registration, Workshop
from outreach.workshops.row_codes import Line
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


@pytest.fixture
def blank():
    """The seventh blank line of the sheet that was printed for a workshop."""
    return row_codes.line_code(Line(make_workshop().pk, 7))


def test_a_blank_line_with_a_code_needs_no_day_and_no_venue(blank):
    counts = taken_in([blank, "Wren Oak", "5 Sorrel Way, Tidewell", ""]).counts

    assert (counts["attendances"], counts["workshops"], counts["people"]) == (1, 0, 1)
    assert Registration.objects.get().sheet_line == 7


@pytest.mark.parametrize("name", ["Wren Oak", "Wren Oakes", ""])
def test_a_walk_in_sent_twice_is_once_even_where_the_name_was_read_otherwise(blank, name):
    taken_in([blank, "Wren Oak", "5 Sorrel Way, Tidewell", ""])

    counts = taken_in([blank, name, "5 Sorrel Way, Tidewell", ""], title="Read in again").counts

    assert (counts["attendances"], counts["people"], counts["households"]) == (0, 0, 0)
    assert Registration.objects.count() == 1


def test_the_same_line_of_a_second_sheet_is_somebody_else_and_looked_at(blank):
    taken_in([blank, "Wren Oak", "5 Sorrel Way, Tidewell", ""])

    counts = taken_in([blank, "Ben Ito", "9 Fern Road, Tidewell", ""], title="The second sheet").counts

    assert (counts["attendances"], counts["for_review"]) == (1, 1)
    assert "belongs to another name" in reasons()
    assert set(Registration.objects.values_list("participant__full_name", "sheet_line")) == {
        ("Wren Oak", 7),
        ("Ben Ito", None),
    }


def test_one_line_twice_in_a_file_is_once(blank):
    counts = taken_in(*[[blank, "Wren Oak", "5 Sorrel Way, Tidewell", ""]] * 2).counts

    assert (counts["attendances"], Registration.objects.count()) == (1, 1)


def test_whoever_the_door_took_down_is_found_by_the_code_of_their_line_afterwards(blank, coordinator):
    """First by name, as the device knows nothing of the line; from then on the code alone is enough."""
    workshop = Workshop.objects.get()
    home = make_household(street="5 Sorrel Way", city_name="Tidewell", zip_code="00431")
    person = make_participant(household=home, full_name="Wren Oak")
    registering.walk_in(workshop=workshop, participant=person, at=AT, by=coordinator)

    by_name = taken_in([blank, "Wren Oak", "5 Sorrel Way, Tidewell", ""]).counts
    by_code = taken_in([blank, "", "", ""], title="Once more").counts

    assert (by_name["attendances"], by_code["attendances"]) == (0, 0)
    assert Registration.objects.get().sheet_line == 7


def test_a_line_of_a_workshop_that_is_not_there_is_not_read(blank):
    counts = taken_in([row_codes.line_code(Line(99_999, 7)), "", "", ""]).counts

    assert counts["attendances"] == 0
    assert "no place on a list has it" in reasons()


def test_nobody_shares_a_line_of_the_sheet(booked):
    booked.sheet_line = 3
    booked.save()
    other = make_registration(workshop=booked.workshop)
    other.sheet_line = 3

    with pytest.raises(ValidationError, match="Someone else wrote themselves down on that line"):
        other.full_clean()
