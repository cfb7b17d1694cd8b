"""Sheets whose habits would lose or misplace somebody in silence; what a careful person reads was written by hand."""

from datetime import UTC, datetime

import pytest

from outreach.households.models import Household
from outreach.intake.models import PaperworkRow
from outreach.intake.taking_in import take_in
from outreach.workshops.models import Workshop
from tests.factories.paperwork import PLACES, make_workbook

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
COLUMNS = ["Name", "Address", "Unit", "City", "ZIP", "E-mail", "Took a bin"]
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def taken_in(*rows: list[object], title: str = "Old Mill Grange, Tidewell - March 8, 2025") -> dict[str, int]:
    sheet = make_workbook([[title], *rows])
    return take_in([("places.csv", PLACES), ("sheet.xlsx", sheet)], by=None, at=AT).counts


def reasons() -> list[str]:
    rows = PaperworkRow.objects.filter(file__name="sheet.xlsx")
    return list(rows.exclude(review_reason="").values_list("review_reason", flat=True))


@pytest.mark.parametrize(
    "title",
    [
        "Saturday March 8, 2025, Old Mill Grange, Tidewell",
        "Sat. March 8th, 2025   Old Mill Grange, Tidewell",
        "Old Mill Grange, Tidewell - Sat 3/8/25 9:00 am",
        "Sat March 8, 2025 10-11:30 a.m. - Old Mill Grange, Tidewell",
        "Sat March 8, 2025 9:00–11:00 | Old Mill Grange, Tidewell",
    ],
)
def test_a_weekday_or_an_hour_beside_the_date_is_no_venue(title):
    taken_in(COLUMNS, ["Otto Brandt", "9 Quarry Lane", "", "Tidewell", "00431", "", "no"], title=title)

    workshop = Workshop.objects.get()
    assert (workshop.venue.name, workshop.held_on.isoformat()) == ("Old Mill Grange", "2025-03-08")


def test_a_weekday_in_the_name_of_a_venue_stays():
    row = ["Otto Brandt", "9 Quarry Lane", "", "Tidewell", "00431", "", "no"]
    taken_in(COLUMNS, row, title="Sunday Creek Hall, Tidewell - Saturday, March 8, 2025")

    assert Workshop.objects.get().venue.name == "Sunday Creek Hall"


@pytest.mark.parametrize("written", ["none", "N/A", "-", "n/a", "No"])
def test_a_unit_called_none_is_the_same_dwelling_as_no_unit(written):
    taken_in(
        COLUMNS,
        ["Otto Brandt", "9 Quarry Lane", written, "Tidewell", "00431", written, "no"],
        ["Ida Brandt", "9 Quarry Ln", "", "Tidewell", "00431", "", "no"],
    )

    assert list(Household.objects.values_list("unit_key", flat=True)) == [""]
    assert reasons() == []


def test_a_heading_with_its_key_after_a_colon_still_heads_the_table():
    heading = ["Participant (print clearly)", "Address", "Unit", "Town", "ZIP", "E-mail", "Took: M/R/T"]
    counts = taken_in(heading, ["Otto Brandt", "9 Quarry Lane", "", "Tidewell", "00431", "", "M"])

    assert (counts["attendances"], counts["handouts"]) == (1, 0)
    assert reasons() == ["Bin: the sign cannot be read. Say whether a bin went home, and which."]


def test_two_people_in_one_cell_are_for_a_person_to_look_at():
    counts = taken_in(COLUMNS, ["Otto & Ida Brandt", "9 Quarry Lane", "", "Tidewell", "00431", "", "no"])

    assert counts["attendances"] == 1
    assert reasons() == ["Name: it may name two people; they were recorded as one. Add the other if so."]


def test_words_where_no_column_was_understood_are_not_passed_over_as_blank():
    taken_in(
        ["Name", "Address", "City", "ZIP", "Seat", "Table", "Group"],
        ["", "", "", "", "Otto Brandt", "9 Quarry Lane", "Tidewell"],
        ["Ida Brandt", "9 Quarry Lane", "Tidewell", "00431", "", "B", ""],
        ["", "", "", "", "", "B", "late"],
    )

    outcomes = PaperworkRow.objects.filter(file__name="sheet.xlsx").order_by("row_number")
    assert [row.outcome for row in outcomes] == ["not_read", "made", "passed_over"]
