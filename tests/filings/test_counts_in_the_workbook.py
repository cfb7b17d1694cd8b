"""Handouts, workshops, stock and costs in the workbook that recomputes: LibreOffice counts them as the filing did."""

import datetime

import openpyxl
import pytest
from django.utils import timezone

from outreach.filings.documents.live.book import write_live_workbook
from outreach.funding.models import Cost
from tests.factories.bins import make_bin_model, make_handout, make_order
from tests.factories.funding import make_cost, make_line
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_workshop
from tests.filings.programmes import programme
from tests.filings.spreadsheet import sheets_as_text, spreadsheet  # noqa: F401
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db
IN_PERIOD = datetime.date(2025, 5, 10)
HOUSEHOLD = "A household that took a bin in the period"


@pytest.fixture
def place():
    """Three bins for two households, one at $40 from its order and two at $25; co-pay of $5 each; $130 of costs."""
    place = programme()
    workshop = make_workshop(held_on=IN_PERIOD, state="closed", jurisdiction=place, headcount_unlisted=4)
    rigid = make_bin_model(family="rigid", unit_cost_cents=2500)
    order = make_order(bin_model=rigid, unit_price_cents=4000)
    first, second = (make_household(jurisdiction=place) for _ in range(2))
    common = {"bin_model": rigid, "handed_on": IN_PERIOD, "copay_cents": 500, "entered_at": early()}
    make_handout(household=second, order=order, workshop=workshop, **common)
    make_handout(household=first, workshop=workshop, **common)
    make_handout(household=second, workshop=workshop, slot=2, slots=2, **common)
    for household in (first, second):
        make_registration(
            workshop=workshop,
            participant=make_participant(household=household),
            state="attended",
            came_with=1,
        )
    printing, staff = make_line(kind="printing"), make_line(kind="staff")
    make_cost((printing, 3000), (staff, 7000), workshop=workshop, spent_on=IN_PERIOD, entered_at=early())
    make_cost((printing, 3000), workshop=workshop, spent_on=IN_PERIOD, entered_at=early())
    return place


def early():
    return datetime.datetime(2025, 5, 11, tzinfo=datetime.UTC)


def book_of(filing, folder):
    path = folder / "live.xlsx"
    with path.open("wb") as target:
        write_live_workbook(filing, target)
    return path


def summary(spreadsheet, path):  # noqa: F811
    return {row[0]: row for row in sheets_as_text(spreadsheet, path)["Summary"] if len(row) > 3}


def worked_out(rows):
    return {words: float(row[2]) for words, row in rows.items() if row[2] and row[3] != "As filed"}


def test_a_spreadsheet_counts_and_adds_up_what_was_filed(place, spreadsheet, tmp_path):  # noqa: F811
    rows = summary(spreadsheet, book_of(submit(place), tmp_path))

    found = worked_out(rows)
    # By hand from the docstring of the programme: 40 + 25 + 25 less 3 x 5, and 130.
    assert found["Bins that went home: rigid"] == found["Bins that went home"] == 3
    assert found["Households that took one"] == 2
    assert (found["Workshops held"], found["Attendances"]) == (1, 2)
    assert found["People in the room who are on no list"] == 6
    assert found["Cost: printing"] == 60
    assert found["Cost of the period"] == 205
    assert found[HOUSEHOLD] == 102.5
    assert found["Households with a bin"] == 24
    filed = {words: float(row[3]) for words, row in rows.items() if row[3] not in ("", "As filed")}
    assert {words for words in filed if filed[words] != pytest.approx(found[words], rel=1e-9)} == set()
    assert any(words.startswith("One of the tonnes") for words in filed)


def test_a_changed_price_moves_the_cost_of_a_household(place, spreadsheet, tmp_path):  # noqa: F811
    path = book_of(submit(place), tmp_path)
    book = openpyxl.load_workbook(path)
    sheet = book["Handouts"]
    (price,) = [cell.column for cell in sheet[2] if cell.value == "Price of its order, cents"]
    sheet.cell(3, price).value += 1000
    changed = tmp_path / "changed.xlsx"
    book.save(changed)

    found = worked_out(summary(spreadsheet, changed))

    assert found[HOUSEHOLD] == 107.5
    assert found["Cost of the period"] == 215


def test_rows_entered_or_voided_since_count_only_when_asked_for(place, spreadsheet, tmp_path):  # noqa: F811
    filing = submit(place)
    later = timezone.now()
    make_handout(household=make_household(jurisdiction=place), handed_on=IN_PERIOD, entered_at=later)
    make_handout(household=make_household(jurisdiction=place), handed_on=IN_PERIOD, entered_at=later)
    voided = Cost.objects.order_by("pk").last()
    Cost.objects.filter(pk=voided.pk).update(
        voided_at=later, voided_by=voided.entered_by, void_reason="twice"
    )
    path = book_of(filing, tmp_path)
    book = openpyxl.load_workbook(path)
    sheet, cell = next(iter(book.defined_names["count_since"].destinations))
    book[sheet][cell].value = 1
    changed = tmp_path / "changed.xlsx"
    book.save(changed)

    as_filed, today = worked_out(summary(spreadsheet, path)), worked_out(summary(spreadsheet, changed))

    assert (as_filed["Bins that went home"], today["Bins that went home"]) == (3, 5)
    assert (as_filed["Households that took one"], today["Households that took one"]) == (2, 4)
    assert (as_filed["Cost: printing"], today["Cost: printing"]) == (60, 30)


def test_a_period_without_any_record_still_opens(spreadsheet, tmp_path):  # noqa: F811
    rows = summary(spreadsheet, book_of(submit(programme()), tmp_path))

    found = worked_out(rows)
    assert (found["Bins that went home"], found["Workshops held"]) == (0, 0)
    assert not [words for words, row in rows.items() if "Err" in row[2] or "#" in row[2]]


@pytest.mark.parametrize(
    "words", ["=HYPERLINK(1)", "+1", "-1", "@SUM(A1)", "\t=1", "فاتورة الطباعة", "z" * 200]
)
def test_no_words_of_a_record_become_a_formula(place, tmp_path, words):
    Cost.objects.update(what_for=words)

    book = openpyxl.load_workbook(book_of(submit(place), tmp_path))

    cells = [cell for row in book["Costs"] for cell in row if cell.value == words]
    assert {cell.data_type for cell in cells} == {"s"}


def test_the_sheets_say_that_ranges_do_not_move(place, tmp_path):
    book = openpyxl.load_workbook(book_of(submit(place), tmp_path))

    notes = " ".join(str(row[0].value) for row in book["Notes"])
    assert "Ranges do not move" in notes
    assert "do not publish rows" in notes
    assert [cell.value for cell in book["Working"][2]][:3] == ["Step", "Title", "What"]
    assert book["Working"].max_row > 14
