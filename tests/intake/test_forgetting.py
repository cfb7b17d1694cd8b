"""Paperwork of people who were forgotten: a copy without their rows takes the place of the file."""

import hashlib
import io

import pytest
from django.core.files.storage import default_storage
from django.utils import timezone
from openpyxl import load_workbook

from outreach.households import forgetting
from outreach.households.forgotten_models import Forgotten
from outreach.households.models import Participant
from outreach.intake.keeping import bytes_of
from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.intake.opening import open_paperwork
from outreach.intake.redacting import CannotRedact, redacted
from outreach.intake.taking_in import take_in
from tests.factories.paperwork import PLACES, make_csv, make_workbook, saved

SHEET = [
    ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"],
    ["Name", "Address", "City", "ZIP", "E-mail", "Phone"],
    ["Ada Holm", "5 Reed St", "Tidewell", "00431", "ada@example.org", "555-555-0101"],
    ["Ben Ito", "9 Reed St", "Tidewell", "00431", "ben@example.org", "555-555-0102"],
]


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "uploads"


def take(coordinator, name, data):
    take_in([("places.csv", PLACES), (name, data)], by=coordinator, at=timezone.now())
    return PaperworkFile.objects.get(name=name)


def forget_ada(run_after):
    person = Participant.objects.get(full_name="Ada Holm")
    with run_after(execute=True):
        forgetting.forget(participant=person, why=Forgotten.Schedule.ASKED, by=None, at=timezone.now())


def texts_of(file):
    sheets = open_paperwork(file.name, bytes_of(file))
    return {row.number: [str(cell) for cell in row.cells] for sheet in sheets for row in sheet.rows}


@pytest.mark.parametrize(("name", "make"), [("signed.csv", make_csv), ("signed.xlsx", make_workbook)])
def test_the_copy_has_every_other_row_at_its_number(
    coordinator, name, make, django_capture_on_commit_callbacks
):
    data = make(SHEET)
    file = take(coordinator, name, data)
    former = file.stored_as

    forget_ada(django_capture_on_commit_callbacks)

    file.refresh_from_db()
    texts = texts_of(file)
    assert texts[4] == SHEET[3]
    assert 3 not in texts
    assert b"Ada" not in bytes_of(file)
    assert file.sha256 == hashlib.sha256(data).hexdigest()
    assert file.copy_sha256 == hashlib.sha256(bytes_of(file)).hexdigest()
    assert not default_storage.exists(former)


def test_cells_of_the_row_are_emptied_and_others_stay(coordinator, django_capture_on_commit_callbacks):
    take(coordinator, "signed.csv", make_csv(SHEET))

    forget_ada(django_capture_on_commit_callbacks)

    rows = dict(PaperworkRow.objects.filter(file__name="signed.csv").values_list("row_number", "cells"))
    assert rows[3] == []
    assert rows[4] == SHEET[3]


def test_another_of_the_same_name_elsewhere_keeps_their_row(coordinator, django_capture_on_commit_callbacks):
    other = ["Ada Holm", "77 Mill Lane", "Tidewell", "00431", "", ""]
    file = take(coordinator, "signed.csv", make_csv([*SHEET, other]))
    person = Participant.objects.get(email="ada@example.org")

    with django_capture_on_commit_callbacks(execute=True):
        forgetting.forget(participant=person, why=Forgotten.Schedule.ASKED, by=None, at=timezone.now())

    file.refresh_from_db()
    assert 3 not in texts_of(file)
    assert texts_of(file)[5][:2] == ["Ada Holm", "77 Mill Lane"]


def test_a_hidden_sheet_is_looked_at_as_well():
    book = load_workbook(io.BytesIO(make_workbook({"Shown": SHEET[1:2], "Aside": SHEET})))
    book["Aside"].sheet_state = "hidden"

    copy = redacted("signed.xlsx", saved(book), set(), lambda cells: "Ada Holm" in cells)

    again = load_workbook(io.BytesIO(copy))
    assert [again["Aside"].cell(row, 1).value for row in (3, 4)] == [None, "Ben Ito"]


def test_a_record_of_several_lines_leaves_the_rows_after_it_at_their_numbers():
    data = b'Name,Note\n"Ada Holm","two\nlines"\nBen Ito,one\n'

    copy = redacted("signed.csv", data, set(), lambda cells: "Ada Holm" in cells)

    (sheet,) = open_paperwork("signed.csv", copy)
    assert [(row.number, row.cells[0]) for row in sheet.rows] == [(1, "Name"), (4, "Ben Ito")]


def test_where_no_row_has_to_go_the_file_stays_as_it_is():
    assert redacted("signed.csv", make_csv(SHEET), set(), lambda cells: False) is None


def test_a_file_that_cannot_be_read_says_so():
    with pytest.raises(CannotRedact):
        redacted("signed.csv", b'Name\n"Ada', set(), lambda cells: False)
    with pytest.raises(CannotRedact):
        redacted("signed.xlsx", b"PK broken", set(), lambda cells: False)
