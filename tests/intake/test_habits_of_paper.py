"""What people do to sheets besides filling them in: crossing out, remarking, drawing; worked out by hand."""

from datetime import UTC, datetime

import pytest
from openpyxl import Workbook
from openpyxl.styles import Font

from outreach.bins.models import Handout
from outreach.intake import settling
from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops.models import Registration, Workshop
from tests.factories.bins import make_bin_model
from tests.factories.paperwork import PLACES, make_csv, saved

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
TITLE = ["Old Mill Grange, Tidewell - March 8, 2025"]
HEADINGS = ["Name", "Address", "City", "ZIP", "Bin?", "Kind of bin"]
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path
    make_bin_model(name="Mesh ring", family="mesh")


def somebody(name, number, *rest):
    return [name, f"{number} Reed St", "Tidewell", "00431", *rest]


def taken_in(name, data):
    return take_in([("places.csv", PLACES), (name, data)], by=None, at=AT).counts


def waiting():
    return list(
        PaperworkRow.objects.for_review().filter(file__kind="sign_in").values_list("review_reason", flat=True)
    )


@pytest.mark.parametrize("mark", ["✅", "✔️", "👍", "👍🏽", "x", "✓"])
def test_a_picture_that_says_yes_is_a_bin(mark):
    taken_in("a.csv", make_csv([TITLE, HEADINGS, somebody("Ada Holm", 5, mark, "Mesh ring")]))

    assert (Handout.objects.count(), waiting()) == (1, [])


@pytest.mark.parametrize("mark", ["❌", "🚫", "✗", "-", "—", "n/a"])
def test_a_picture_or_a_dash_that_says_no_is_none(mark):
    taken_in("a.csv", make_csv([TITLE, HEADINGS, somebody("Ada Holm", 5, mark, "")]))

    assert (Handout.objects.count(), waiting()) == (0, [])


@pytest.mark.parametrize("mark", ["🪱", "?", '"'])
def test_a_sign_that_says_neither_is_looked_at(mark):
    rows = [somebody("Ada Holm", 5, "x", "Mesh ring"), somebody("Ben Ito", 7, mark, "")]
    taken_in("a.csv", make_csv([TITLE, HEADINGS, *rows]))

    assert Handout.objects.count() == 1
    assert waiting() == ["Bin: the sign cannot be read. Say whether a bin went home, and which."]


def struck_out_sheet():
    book = Workbook()
    for row in (
        TITLE,
        HEADINGS,
        somebody("Ada Holm", 5, "x", "Mesh ring"),
        somebody("Ben Ito", 7, "x", "Mesh ring"),
    ):
        book.active.append(row)
    for cell in book.active[4]:
        cell.font = Font(strike=True)
    book.active["B3"].font = Font(strike=True)  # a word crossed out within a row that stands
    return saved(book)


def test_a_row_that_is_crossed_out_is_not_recorded_until_a_person_says_so(coordinator):
    counts = taken_in("a.xlsx", struck_out_sheet())

    assert (counts["attendances"], counts["handouts"]) == (1, 1)
    assert waiting() == ["The row is struck through. Record it if it counts all the same."]
    assert settling.try_again(by=coordinator, at=AT) == 0
    row = PaperworkRow.objects.not_read().get(file__kind="sign_in")
    settling.complete_row(row=row, texts={}, by=coordinator, at=AT)
    assert Registration.objects.count() == 2


@pytest.mark.parametrize(
    "remark",
    [
        "* bring more bins",
        "NOTE: rain from 11",
        "(see other side)",
        "No show:",
        "Signed: ________",
        "Nota: llovió",
    ],
)
def test_a_remark_across_the_page_is_nobodys_row(remark):
    rows = [TITLE, HEADINGS, somebody("Ada Holm", 5), [remark], somebody("Ben Ito", 7)]
    counts = taken_in("a.csv", make_csv(rows))

    assert (counts["attendances"], waiting()) == (2, [])


def test_a_lone_name_is_no_remark():
    taken_in("a.csv", make_csv([TITLE, HEADINGS, somebody("Ada Holm", 5), ["Ben Ito"]]))

    assert len(waiting()) == 1


@pytest.mark.parametrize("written", ["8-Mar-25", "8 Mar 25", "Mar 8, 25", "8/mar/25", "8 marzo '25"])
def test_a_day_with_a_month_in_words_and_a_short_year(written):
    rows = [
        ["Date", "Venue", *HEADINGS[:4]],
        ["3/8/2025", "Old Mill Grange, Tidewell", *somebody("Ada Holm", 5)],
        [written, "Old Mill Grange, Tidewell", *somebody("Ben Ito", 7)],
    ]
    counts = taken_in("a.csv", make_csv(rows))

    assert (counts["attendances"], Workshop.objects.count(), waiting()) == (2, 1, [])


@pytest.mark.parametrize("names", ["Ana & Luis Vega", "Ana y Luis Vega", "Ana Vega / Luis Vega"])
def test_two_people_in_one_cell_are_looked_at_in_spanish_too(names):
    taken_in("a.csv", make_csv([TITLE, HEADINGS, somebody(names, 5)]))

    assert waiting() == ["Name: it may name two people; they were recorded as one. Add the other if so."]
