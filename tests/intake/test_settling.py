"""Rows that need a person: completed through the same code as a sheet's, or found right as they are."""

from datetime import UTC, date, datetime

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse

from outreach.bins.models import Handout
from outreach.followup.models import Answer
from outreach.households.models import Household
from outreach.intake import settling
from outreach.intake.models import IntakeMade, PaperworkRow
from outreach.intake.provenance import provenance_of
from outreach.intake.taking_in import take_in
from outreach.workshops.models import Registration
from tests.factories.bins import make_bin_model
from tests.factories.paperwork import PLACES, make_csv

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
TITLE = ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"]
HEADINGS = ["Name", "Address", "City", "ZIP", "E-mail", "Bin", "Bin type"]
ADA = ["Ada Holm", "5 Reed St", "Tidewell", "00431", "ada@example.org", "y", "Mesh ring"]

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def bins(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    make_bin_model(name="Mesh ring", family="mesh")
    make_bin_model(name="Spinner", family="tumbler")


def sheet(*rows, name: str = "sheet.csv") -> tuple[str, bytes]:
    return name, make_csv([TITLE, HEADINGS, *rows])


def taken_in(*files) -> dict[str, int]:
    return take_in([("places.csv", PLACES), *files], by=None, at=AT).counts


def waiting(kind: str = "sign_in") -> PaperworkRow:
    return PaperworkRow.objects.for_review().get(file__kind=kind)


def test_an_address_without_a_house_number_is_completed_and_recorded(coordinator):
    taken_in(sheet(["Ada Holm", "Reed St", "Tidewell", "00431", "", "y", "Mesh ring"]))
    row = waiting()
    assert "Address" in row.review_reason
    assert not Registration.objects.exists()

    settling.complete_row(row=row, texts={"address": "5 Reed St"}, by=coordinator, at=AT)

    assert Registration.objects.get().household.street_key == "5 REED ST"
    assert Handout.objects.get().bin_model.name == "Mesh ring"
    row.refresh_from_db()
    assert (row.outcome, row.resolved_by) == ("made", coordinator)
    assert row.resolution == "completed: address"
    assert row.cells[1] == "Reed St"


def test_what_is_still_missing_is_said_and_nothing_is_written(coordinator):
    taken_in(sheet(["Ada Holm", "Reed St", "Tidewell", "00431", "", "y", "Mesh ring"]))
    households = Household.objects.count()

    with pytest.raises(ValidationError, match="Complete the address"):
        settling.complete_row(row=waiting(), texts={"address": "Reed Street"}, by=coordinator, at=AT)

    assert Household.objects.count() == households
    assert waiting().resolved_at is None


def test_a_bin_whose_kind_nobody_could_tell_is_recorded_once_it_is_said(coordinator):
    taken_in(sheet(["Ada Holm", "5 Reed St", "Tidewell", "00431", "", "y", "the green one"]))
    assert Registration.objects.count() == 1
    assert not Handout.objects.exists()

    with pytest.raises(ValidationError, match="Choose the bin"):
        settling.complete_row(row=waiting(), texts={}, by=coordinator, at=AT)
    settling.complete_row(row=waiting(), texts={"bin_model": "Spinner"}, by=coordinator, at=AT)

    assert Handout.objects.get().bin_model.name == "Spinner"
    assert Registration.objects.count() == 1


def test_the_right_city_for_a_household_that_the_zip_put_elsewhere(coordinator):
    taken_in(sheet(["Ada Holm", "5 Reed St", "Tidewell", "00432", "", "n", ""]))
    assert Household.objects.get().jurisdiction.name == "Cinder Falls"

    settling.complete_row(row=waiting(), texts={"zip": "00431"}, by=coordinator, at=AT)

    household = Household.objects.get()
    assert (household.zip_code, household.jurisdiction.name) == ("00431", "Tidewell")
    assert Registration.objects.count() == 1


def test_an_unreadable_amount_is_corrected_as_a_new_answer(coordinator):
    answers = [["Date", "Name", "Address", "Still composting?", "Food scraps"]]
    answers += [["2025-09-01", "Ada Holm", "5 Reed St", "yes", "a lot"]]
    taken_in(sheet(ADA), ("answers.csv", make_csv(answers)))
    first = Answer.objects.get()
    assert first.waits

    settling.complete_row(row=waiting("answers"), texts={"food": "2 gallons"}, by=coordinator, at=AT)

    current = Answer.objects.current().get()
    assert (current.corrects, current.food_ml_per_week) == (first, 7571)
    assert not PaperworkRow.objects.for_review().filter(file__kind="answers").exists()


def test_answers_that_came_before_their_sheet_are_read_again(coordinator):
    answers = [
        ["Date", "Name", "Address", "Still composting?"],
        ["2025-09-01", "Ada Holm", "5 Reed St", "yes"],
    ]
    assert taken_in(("answers.csv", make_csv(answers)))["answers"] == 0

    taken_in(sheet(ADA))

    assert settling.try_again(by=coordinator, at=AT) == 1
    assert Answer.objects.get().answered_on == date(2025, 9, 1)


def test_a_row_found_right_says_who_looked_and_is_not_asked_again(coordinator, as_coordinator):
    taken_in(sheet(["Ada Holm", "5 Reed St", "Tidewell", "00432", "", "n", ""]))
    row = waiting()

    as_coordinator.post(reverse("intake_row_right", args=[row.pk]))

    row.refresh_from_db()
    assert row.resolved_by == coordinator
    assert row.resolution == "already right, nothing to do"
    with pytest.raises(ValidationError, match="already settled"):
        settling.find_right(row=row, by=coordinator, at=AT)


def test_the_page_of_a_row_completes_it(as_coordinator):
    taken_in(sheet(["Ada Holm", "Reed St", "Tidewell", "00431", "", "y", "Mesh ring"]))
    url = reverse("intake_row", args=[waiting().pk])
    page = as_coordinator.get(url)
    given = {name: page.context["form"][name].value() or "" for name in page.context["form"].fields}
    given["date"] = "2025-03-01"

    refused = as_coordinator.post(url, given)
    as_coordinator.post(url, given | {"address": "5 Reed St"})

    assert "Complete the address" in refused.content.decode()
    assert Handout.objects.get().participant.full_name == "Ada Holm"
    assert Registration.objects.get().workshop.held_on == date(2025, 3, 1)


def test_a_household_is_chosen_for_an_answer_that_fits_none(as_coordinator):
    taken_in(sheet(ADA))
    answers = [
        ["Date", "Name", "Address", "Still composting?"],
        ["2025-09-01", "Bo Holm", "55 Reed St", "yes"],
    ]
    taken_in(("answers.csv", make_csv(answers)))
    url = reverse("intake_row", args=[waiting("answers").pk])

    as_coordinator.post(
        url,
        {
            "name": "Bo Holm",
            "address": "5 Reed Street",
            "city": "Tidewell",
            "date": "2025-09-01",
            "composting": "yes",
        },
    )

    assert Answer.objects.get().household == Household.objects.get()


def test_a_record_knows_its_paper():
    taken_in(sheet(ADA))

    paper = provenance_of(Handout.objects.get())

    assert [(one.file, one.sheet, one.row_number) for one in paper] == [("sheet.csv", "sheet", 3)]
    assert provenance_of(Household.objects.get())[0].row_number == 3


def test_a_made_record_is_exactly_one_thing():
    taken_in(sheet(ADA))
    made = IntakeMade.objects.filter(handout__isnull=False).get()
    made.registration = Registration.objects.get()

    with pytest.raises(ValidationError, match="exactly one thing"):
        made.validate_constraints()
