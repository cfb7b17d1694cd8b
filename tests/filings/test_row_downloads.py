"""Records as a workbook: no personal field in the version for readers, and no word that a spreadsheet would run."""

import datetime
import io

import openpyxl
import pytest
from django.urls import reverse

from outreach.bins.models import Handout
from outreach.filings import jobs
from outreach.filings.documents.row_sheets import ROW_SHEETS, is_personal
from outreach.filings.documents.rows import write_rows
from outreach.filings.models import Filing
from outreach.staff import working
from outreach.staff.roles import OFFICE, READERS, Role
from tests.factories.bins import make_handout
from tests.factories.households import make_household, make_participant
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db
IN_PERIOD = datetime.date(2025, 5, 10)


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


def book_of(filing, *, with_contact_data, watch=lambda _done, _of: None):
    target = io.BytesIO()
    write_rows(filing, target, with_contact_data=with_contact_data, watch=watch)
    return openpyxl.load_workbook(target)


def filing_with_a_handout_to(name) -> Filing:
    jurisdiction = programme(households=2, answers=1)
    household = make_household(jurisdiction=jurisdiction)
    person = make_participant(household=household, full_name=name, email="ada@example.org")
    make_handout(household=household, participant=person, handed_on=IN_PERIOD)
    return submit(jurisdiction)


def words_of(book):
    return [str(cell.value) for sheet in book for row in sheet for cell in row if cell.value is not None]


def test_the_sheets_are_the_kinds_of_records():
    book = book_of(filing_with_a_handout_to("Ada Holm"), with_contact_data=False)

    assert book.sheetnames == ["Notes", "Answers", "Handouts", "Workshops", "Stock", "Costs"]


def test_no_personal_field_is_in_the_version_for_readers():
    for sheet in ROW_SHEETS:
        assert not [one for one in sheet.columns_for(with_contact_data=False) if is_personal(sheet.of, one)]
    words = words_of(book_of(filing_with_a_handout_to("Ada Holm"), with_contact_data=False))

    assert "Ada Holm" not in words
    assert "ada@example.org" not in words


def test_the_other_version_has_them():
    words = words_of(book_of(filing_with_a_handout_to("Ada Holm"), with_contact_data=True))

    assert {"Ada Holm", "ada@example.org"} <= set(words)


@pytest.mark.parametrize(
    "name",
    [
        *("=cmd|'/C calc'!A0", "+1", "-1", "@SUM(A1)", "\t=1+1", "\r=1+1"),
        *("مريم الحداد", "陳大文", "Łucja Ñandú", "שרה לוי", "x" * 200),
    ],
)
def test_a_name_of_any_script_is_text_and_whole(name):
    book = book_of(filing_with_a_handout_to(name), with_contact_data=True)

    (cell,) = [cell for row in book["Handouts"] for cell in row if cell.value == name]
    assert cell.data_type == "s"


@pytest.mark.parametrize("note", ["ملاحظة طويلة " * 23 + "!", "=1+1" + "y" * 296, "\t@SUM(A1)" * 30])
def test_a_note_of_300_characters_is_text_and_whole(note):
    filing = filing_with_a_handout_to("Ada Holm")
    assert len(note) in (270, 300)
    Handout.objects.filter(handed_on=IN_PERIOD).update(note=note)

    book = book_of(filing, with_contact_data=True)

    (cell,) = [cell for row in book["Handouts"] for cell in row if cell.value == note]
    assert cell.data_type == "s"


def test_rows_outside_the_period_and_voided_ones_are_left_out():
    filing = filing_with_a_handout_to("Ada Holm")

    rows = list(book_of(filing, with_contact_data=False)["Handouts"].values)

    assert Handout.objects.count() == 3
    assert len(rows) == 2


def test_progress_ends_with_all_rows():
    told = []

    book_of(
        filing_with_a_handout_to("Ada Holm"),
        with_contact_data=False,
        watch=lambda done, of: told.append((done, of)),
    )

    assert told[-1][0] == told[-1][1] > 0


@pytest.mark.parametrize("role", Role)
def test_each_role_gets_the_version_it_may(as_role, role):
    filing = filing_with_a_handout_to("Ada Holm")
    client = as_role(role)

    without = client.post(reverse("filing_rows", args=[filing.pk])).status_code
    with_names = client.post(reverse("filing_named_rows", args=[filing.pk])).status_code

    assert without == (302 if role in READERS else 403)
    assert with_names == (302 if role in OFFICE else 403)


def test_a_worker_makes_it_and_the_version_with_names_is_fetched_once(as_coordinator):
    filing = filing_with_a_handout_to("Ada Holm")
    as_coordinator.post(reverse("filing_named_rows", args=[filing.pk]))
    working.run_queued()

    first = as_coordinator.get(reverse("filing_named_rows_file", args=[filing.pk]))
    body = b"".join(first.streaming_content)
    again = as_coordinator.get(reverse("filing_named_rows_file", args=[filing.pk]))

    assert "Ada Holm" in words_of(openpyxl.load_workbook(io.BytesIO(body)))
    assert again.status_code == 404
    assert jobs.rows_stored_as(filing, with_contact_data=True) != jobs.rows_stored_as(
        filing, with_contact_data=False
    )
