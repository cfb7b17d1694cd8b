"""What is on record already, by hand or from another file: the same fact adds nothing, a difference is asked."""

from datetime import UTC, date, datetime

import pytest

from outreach.bins.models import Handout, RuleException, StockBalance
from outreach.followup.models import Answer
from outreach.households.models import Household, Participant
from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops.models import Registration, Workshop
from tests.factories.bins import make_bin_model
from tests.factories.paperwork import PLACES, make_csv

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
TITLE = ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"]
HEADINGS = ["Name", "Address", "City", "ZIP", "Bin", "Bin type"]

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def bins(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    make_bin_model(name="Mesh ring", family="mesh")
    make_bin_model(name="Mesh ring, second edition", family="mesh")
    make_bin_model(name="Spinner", family="tumbler")


def row(name="Ada Holm", address="5 Reed St", bin_sign="y", kind="Mesh ring") -> list[str]:
    return [name, address, "Tidewell", "00431", bin_sign, kind if bin_sign == "y" else ""]


def taken_in(*rows, name: str = "sheet.csv", title=None) -> dict[str, int]:
    data = make_csv([title or TITLE, HEADINGS, *rows])
    return take_in([("places.csv", PLACES), (name, data)], by=None, at=AT).counts


def reasons() -> list[str]:
    return [one.review_reason for one in PaperworkRow.objects.for_review().filter(file__kind="sign_in")]


def test_the_same_sheet_typed_again_with_other_words_adds_nothing():
    taken_in(row())

    counts = taken_in(["HOLM, ADA", "5 REED STREET", "Tidew.", "431", "X", "Mesh ring"], name="copy.csv")

    # The row, and the three rows of the places list that was given again.
    assert (counts["attendances"], counts["handouts"], counts["already_known"]) == (0, 0, 1 + 3)
    assert Handout.objects.count() == 1
    assert reasons() == []


def test_another_model_of_the_same_family_is_the_same_bin():
    taken_in(row())

    taken_in(row(kind="Mesh ring, second edition"), name="copy.csv")

    assert Handout.objects.count() == 1
    assert reasons() == []


def test_a_bin_of_another_family_goes_to_review_and_is_not_recorded():
    taken_in(row())

    counts = taken_in(row(kind="Spinner"), name="copy.csv")

    assert counts["handouts"] == 0
    assert "another kind is recorded" in reasons()[0]


def test_a_bin_where_none_was_recorded_goes_to_review():
    taken_in(row(bin_sign="n"))

    counts = taken_in(row(), name="copy.csv")

    assert counts["handouts"] == 0
    assert "without a bin" in reasons()[0]


def test_no_bin_where_one_was_recorded_goes_to_review():
    taken_in(row())

    taken_in(row(bin_sign="n"), name="copy.csv")

    assert "none on this sheet" in reasons()[0]
    assert Handout.objects.count() == 1


def test_a_second_page_of_the_same_workshop_adds_its_people():
    taken_in(row())

    counts = taken_in(row("Ben Ito", "7 Reed St"), name="page2.csv")

    assert (counts["workshops"], counts["attendances"], counts["handouts"]) == (0, 1, 1)
    assert Workshop.objects.count() == 1


def test_someone_who_was_booked_has_now_attended():
    taken_in(row(bin_sign="n"))
    Registration.objects.update(state="booked")
    Workshop.objects.update(state="planned")

    counts = taken_in(row("HOLM, ADA", bin_sign="n"), name="copy.csv")

    assert counts["attendances"] == 1
    assert Registration.objects.get().state == "attended"
    assert Workshop.objects.get().state == "held"


def test_a_second_bin_a_resident_of_elsewhere_and_an_empty_shelf_are_recorded_and_flagged():
    far = ["Cy Lund", "9 Far Rd", "Farrow", "00977", "y", "Spinner"]
    taken_in(row())

    counts = taken_in(
        row(), far, name="april.csv", title=["Date: 4/5/2025", "Location: Harbor Annex, Tidewell"]
    )

    assert (counts["handouts"], counts["second_bins"], counts["outside_area"]) == (2, 1, 1)
    kinds = set(RuleException.objects.without_reason().values_list("kind", flat=True))
    assert kinds == {"second_bin", "outside_area", "none_on_ledger"}
    assert sum(one.on_hand for one in StockBalance.objects.all()) == -3


def test_a_second_bin_for_a_resident_of_elsewhere_counts_as_a_second_bin():
    far = ["Cy Lund", "9 Far Rd", "Farrow", "00977", "y", "Spinner"]
    taken_in(far)

    counts = taken_in(far, name="april.csv", title=["Date: 4/5/2025", "Location: Harbor Annex, Tidewell"])

    assert (counts["handouts"], counts["second_bins"], counts["outside_area"]) == (1, 1, 1)


def test_an_earlier_sheet_that_comes_later_dates_the_household_back():
    taken_in(row(bin_sign="n"))

    taken_in(row(bin_sign="n"), name="feb.csv", title=["Date: 2/1/2025", "Location: Harbor Annex, Tidewell"])

    assert Household.objects.get().began_on == date(2025, 2, 1)
    assert Participant.objects.get().first_seen_on == date(2025, 2, 1)


def test_the_same_answer_in_two_exports_is_one():
    taken_in(row())
    headings = ["Date", "Name", "Address", "Still composting?", "Food scraps"]
    first = make_csv([headings, ["9/1/2025", "Ada Holm", "5 Reed St", "yes", "2 gallons"]])
    second = make_csv([headings, ["9/1/2025", "ada holm", "5 REED ST.", "Yes", "2 gal"]])

    one = take_in([("a.csv", first)], by=None, at=AT).counts
    two = take_in([("b.csv", second)], by=None, at=AT).counts

    assert (one["answers"], two["answers"], two["answers_repeated"]) == (1, 0, 1)
    assert Answer.objects.count() == 1


def test_a_sheet_of_a_cancelled_workshop_is_refused_with_what_to_do():
    taken_in(row(bin_sign="n"))
    Registration.objects.update(state="cancelled")
    Workshop.objects.update(state="cancelled", state_reason="storm")
    people = Participant.objects.count()

    with pytest.raises(Exception, match=r"recorded as cancelled\. Open it again"):
        taken_in(row("Ben Ito", "7 Reed St"), name="page2.csv")

    assert Participant.objects.count() == people
