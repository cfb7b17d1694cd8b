"""What a file is, its content says; what cannot be a table is refused with what to do."""

import io
import zipfile

import pytest
from openpyxl import Workbook

from outreach.intake import delimited, workbooks
from outreach.intake.opening import open_paperwork
from outreach.intake.refusals import PaperworkRefused
from tests.factories.paperwork import make_csv, make_workbook, saved

ROWS = [["Name", "Address"], ["Ada Holm", "5 Reed St"], ["Ben Ito", "7 Reed St"]]


def texts(data: bytes, name: str = "sheet.xlsx") -> list[list[str]]:
    return [row.texts for row in open_paperwork(name, data)[0].rows]


def refusal(data: bytes, name: str = "sheet.xlsx") -> str:
    with pytest.raises(PaperworkRefused) as refused:
        open_paperwork(name, data)
    return str(refused.value)


@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252", "utf-16"])
def test_text_is_read_in_every_encoding_and_with_every_separator(separator, encoding):
    rows = [["Nombre", "Dirección"], ["Peña, José", "31 Calle Sol, Apto 2; atrás"]]

    assert texts(make_csv(rows, separator=separator, encoding=encoding)) == rows


def test_a_first_line_may_say_the_separator():
    assert texts(b"sep=;\nName;Address\nAda, Holm;5 Reed St\n") == [
        ["Name", "Address"],
        ["Ada, Holm", "5 Reed St"],
    ]


def test_rows_keep_the_number_that_a_spreadsheet_shows():
    data = b'Name,Note\n\nAda,"two\nlines"\nBen,x\n'

    assert [row.number for row in open_paperwork("a.csv", data)[0].rows] == [1, 3, 5]


def test_a_workbook_is_one_whatever_its_name_says():
    assert texts(make_workbook(ROWS), "list.csv") == ROWS


def test_hidden_sheets_are_not_read_and_hidden_columns_are():
    book = Workbook()
    book.active.append(["Name", "E-mail"])
    book.active.column_dimensions["B"].hidden = True
    book.create_sheet("old").append(["Name", "x"])
    book["old"].sheet_state = "hidden"

    sheets = open_paperwork("a.xlsx", saved(book))

    assert [[row.texts for row in sheet.rows] for sheet in sheets] == [[["Name", "E-mail"]]]


@pytest.mark.parametrize("data", [b"", b"  \n \n"])
def test_an_empty_file_says_so(data):
    assert "The file is empty. Check that it was saved" in refusal(data)


def test_a_workbook_without_rows_says_so():
    assert "no rows in it. Check that this is the right file" in refusal(saved(Workbook()))


def test_a_renamed_pdf_is_told_apart():
    message = refusal(b"%PDF-1.7\n1 0 obj", "signin.xlsx")

    assert "This is a PDF, whatever its name says" in message
    assert "Nothing was written" in message


def test_a_web_page_that_calls_itself_a_spreadsheet():
    assert "save it as XLSX or CSV" in refusal(b"<html><table><tr><td>Name</td></tr></table>", "export.xls")


def test_an_encrypted_workbook_asks_for_the_password_to_be_removed():
    # [MS-OFFCRYPTO]: an encrypted workbook is a compound file with a stream named EncryptedPackage.
    data = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le")

    assert "remove the password, save, and take it in again" in refusal(data)


def test_a_workbook_of_the_old_kind_asks_to_be_saved_anew():
    assert "save it as XLSX or CSV" in refusal(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 600, "a.xls")


def test_an_archive_that_is_no_workbook():
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        archive.writestr("readme.txt", "hello")

    assert "not an XLSX workbook" in refusal(stream.getvalue())


def bursting(inner: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", "<workbook/>")
        archive.writestr("xl/worksheets/sheet1.xml", inner)
    return stream.getvalue()


def test_a_workbook_made_to_burst_is_not_unpacked(monkeypatch):
    monkeypatch.setattr(workbooks, "load_workbook", lambda *_a, **_k: pytest.fail("it was unpacked"))
    data = bursting(b"0" * 60_000_000)

    message = refusal(data)

    assert len(data) < 100_000
    assert "it was not unpacked" in message
    assert "Copy the rows that matter into a new workbook" in message


def test_entities_that_multiply_are_refused():
    bomb = b'<?xml version="1.0"?><!DOCTYPE w [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]><workbook>&b;</workbook>'
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(make_workbook(ROWS))) as good, zipfile.ZipFile(stream, "w") as bad:
        for part in good.namelist():
            bad.writestr(part, bomb if part == "xl/worksheets/sheet1.xml" else good.read(part))

    assert "broken" in refusal(stream.getvalue())


def test_a_workbook_cut_off_asks_for_a_new_copy():
    data = make_workbook(ROWS)

    assert "cut off or damaged" in refusal(data[: len(data) // 2])


def test_a_sheet_broken_in_the_middle_says_after_which_row():
    good = make_workbook([["Name", "Address"], *([f"Person {n}", f"{n} Reed St"] for n in range(2000))])
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(good)) as source, zipfile.ZipFile(stream, "w") as broken:
        for part in source.namelist():
            content = source.read(part)
            if part == "xl/worksheets/sheet1.xml":
                content = content[: len(content) // 2]
            broken.writestr(part, content)

    message = refusal(stream.getvalue())

    assert "Sheet 'Sheet1' is broken after row " in message
    assert "save it again" in message


def test_a_quotation_mark_that_never_closes_says_from_which_line():
    message = refusal(b'Name,Address\nAda,5 Reed St\n"Ben,7 Reed St\nCy,8 Reed St\n', "a.csv")

    assert "broken from line 3 on" in message
    assert "quotation marks" in message


def test_bytes_that_are_no_text_are_refused():
    assert "neither a workbook nor text" in refusal(bytes(range(256)) * 4, "a.csv")


def test_too_many_rows_or_columns_are_refused(monkeypatch):
    monkeypatch.setattr(workbooks, "MOST_ROWS", 2)

    assert "Split it" in refusal(make_csv(ROWS), "a.csv")
    assert "has 300 columns; at most 256" in refusal(make_csv([["x"] * 300]), "wide.csv")
    assert delimited.SEPARATORS


def test_a_large_file_is_refused_before_it_is_read(monkeypatch):
    monkeypatch.setattr("outreach.intake.opening.MOST_BYTES", 10)

    assert "Split it into smaller files" in refusal(b"a,b\n" * 10, "a.csv")
