"""Paper typed row by row: each row by itself, once, beside what is on record already."""

import re
from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from outreach.bins.models import Handout
from outreach.followup.models import Answer
from outreach.households.models import Household
from outreach.intake import looking_at_typed, typed_sheets
from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.intake.typed_sheets import Typed
from outreach.workshops import row_codes
from outreach.workshops.models import Registration
from tests.factories.bins import make_bin_model, make_rule
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_served_place
from tests.factories.workshops import make_registration, make_workshop

AT = datetime(2025, 5, 10, 18, tzinfo=UTC)
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def workshop():
    town = make_served_place(city_name="Tidewell", zip_code="00431").jurisdiction
    make_rule()
    return make_workshop(jurisdiction=town)


@pytest.fixture
def file(workshop, coordinator):
    return typed_sheets.for_workshop(workshop=workshop, by=coordinator, at=AT)


@pytest.fixture
def save(file, coordinator):
    def save(number=3, **texts):
        return typed_sheets.save_row(
            file=file, typed=Typed(number=number, texts=texts), by=coordinator, at=AT
        )

    return save


def test_a_code_is_enough_for_someone_on_the_list(workshop, save):
    booked = make_registration(workshop=workshop)

    row = save(row_code=row_codes.code_of(booked.pk))

    booked.refresh_from_db()
    assert (booked.state, row.outcome) == ("attended", "made")


def test_a_name_is_enough_for_someone_on_the_list(workshop, save):
    booked = make_registration(workshop=workshop, participant=make_participant(full_name="Ada Holm"))

    save(name="Ada Holm")

    booked.refresh_from_db()
    assert booked.state == "attended"


def test_a_walk_in_with_a_bin_is_recorded_with_both(workshop, save):
    make_bin_model(name="Mesh ring")

    save(name="Cy Lund", address="9 Reed St", city="Tidewell", zip="00431", bin_taken="Mesh ring")

    assert Registration.objects.get(participant__full_name="Cy Lund").state == "walk_in"
    handout = Handout.objects.get()
    assert (handout.household.street_key, handout.workshop) == ("9 REED ST", workshop)


def test_the_same_row_sent_twice_is_one(save):
    make_bin_model(name="Mesh ring")
    texts = {"name": "Cy Lund", "address": "9 Reed St", "zip": "00431", "bin_taken": "Mesh ring"}

    first, again = save(**texts), save(**texts)

    assert again == first
    assert (Registration.objects.count(), Handout.objects.count()) == (1, 1)


def test_two_people_typing_one_sheet_do_not_write_over_each_other(save):
    save(number=3, name="Cy Lund", address="9 Reed St", zip="00431")
    save(number=3, name="Di Moor", address="11 Reed St", zip="00431")

    assert list(PaperworkRow.objects.values_list("row_number", flat=True)) == [3, 4]
    assert Registration.objects.count() == 2


def test_a_row_that_cannot_be_read_says_what_is_missing_and_writes_nothing(save):
    with pytest.raises(ValidationError, match="no street with a house number"):
        save(name="Cy Lund", address="somewhere")

    assert (PaperworkRow.objects.count(), Household.objects.count()) == (0, 0)


def test_what_is_doubtful_is_saved_and_waits_in_review(save):
    row = save(name="Cy Lund & Bo Lund", address="9 Reed St", zip="00431")

    assert "two people" in row.review_reason
    assert Registration.objects.count() == 1


def test_a_second_bin_is_recorded_as_an_exception(save):
    make_bin_model(name="Mesh ring")
    for name in ("Cy Lund", "Di Lund"):
        save(number=3, name=name, address="9 Reed St", zip="00431", bin_taken="Mesh ring")

    assert [one.exception is not None for one in Handout.objects.order_by("happened_at")] == [False, True]


def test_what_is_known_is_said_before_anything_is_saved(workshop, file, coordinator, save):
    make_bin_model(name="Mesh ring")
    save(name="Cy Lund", address="9 Reed St", zip="00431", bin_taken="Mesh ring")
    typed = Typed(
        number=4, texts={"name": "Di Lund", "address": "9 Reed St", "zip": "00431", "bin_taken": "yes"}
    )

    said = " ".join(looking_at_typed.said_of(file=file, typed=typed, by=coordinator, at=AT))

    assert "9 Reed St" in said
    assert "The household had its bin on 9 May 2025" in said
    assert not Registration.objects.filter(participant__full_name="Di Lund").exists()


def test_someone_from_elsewhere_is_named_so(file, coordinator):
    typed = Typed(
        number=3, texts={"name": "Cy Lund", "address": "9 Reed St", "city": "Farland", "zip": "99999"}
    )

    said = looking_at_typed.said_of(file=file, typed=typed, by=coordinator, at=AT)

    assert "Outside the places served." in said


def test_answers_on_paper_are_typed_in_their_words(coordinator):
    home = make_household(street="5 Reed Street", zip_code="00431")
    make_participant(household=home, full_name="Ada Holm")
    stack = typed_sheets.for_answers(on=date(2025, 9, 1), by=coordinator, at=AT)
    texts = {
        "date": "2025-08-30",
        "name": "Ada Holm",
        "composting": "yes",
        "food": "2 gallons",
        "yard": "4 gallons a month",
    }

    typed_sheets.save_row(file=stack, typed=Typed(number=3, texts=texts), by=coordinator, at=AT)

    answer = Answer.objects.get()
    # A US gallon is 3.785411784 L (NIST Handbook 44); a month is 365.25 / 12 / 7 weeks.
    assert (answer.household, answer.composting, answer.food_ml_per_week) == (home, "yes", 7571)
    assert answer.yard_ml_per_week == pytest.approx(4 * 3785.411784 / (365.25 / 12 / 7), abs=1)
    assert answer.channel == "paper"


def test_the_grid_keeps_what_could_not_be_saved_with_why(as_coordinator, workshop):
    page = reverse("type_sign_ins", args=[workshop.pk])
    sent = {
        "row": ["3", "4"],
        "name-3": "Cy Lund",
        "address-3": "9 Reed St",
        "zip-3": "00431",
        "name-4": "Di Moor",
    }

    answer = as_coordinator.post(page, sent)

    assert Registration.objects.count() == 1
    (line,) = answer.context["failed"]
    assert line.texts["name"] == "Di Moor"
    assert "Address" in line.problems[0]


def test_what_the_page_says_of_a_column_is_its_heading(as_coordinator, workshop):
    html = as_coordinator.get(reverse("type_sign_ins", args=[workshop.pk])).content.decode()

    named = re.findall("“([^”]+)”", html)
    assert named == ["A bin went home", "People in all"]
    headings = [" ".join(words.split()) for words in re.findall(r"<th[^>]*>([^<]+)", html)]
    assert set(named) <= set(headings)


def test_how_many_came_is_typed_beside_the_person(workshop, save):
    save(name="Cy Lund", address="9 Reed St", city="Tidewell", zip="00431", party="3")

    assert Registration.objects.get().came_with == 2


def test_names_are_completed_from_whoever_is_on_record(as_coordinator):
    make_participant(full_name="Ada Holm")

    answer = as_coordinator.get(reverse("typed_names"), {"name-3": "ada"})

    assert '<option value="Ada Holm">' in answer.content.decode()


def test_a_typed_sheet_is_paperwork_like_any_other(as_coordinator, save):
    row = save(name="Cy Lund & Bo Lund", address="9 Reed St", zip="00431")

    assert (
        as_coordinator.get(reverse("paperwork_file", args=[PaperworkFile.objects.get().pk])).status_code
        == 200
    )
    assert as_coordinator.get(reverse("intake_row", args=[row.pk])).status_code == 200
