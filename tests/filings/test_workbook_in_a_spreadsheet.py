"""The workbook as another program reads it: LibreOffice, which writes each sheet out as text."""

import pytest

from outreach.filings.documents.workbook import write_workbook
from outreach.filings.report import Number
from tests.filings.spreadsheet import sheets_as_text, spreadsheet  # noqa: F401
from tests.filings.test_documents import report_with, table_of


def test_a_spreadsheet_reads_every_number_and_works_out_no_words(spreadsheet, tmp_path):  # noqa: F811
    rows = (
        ("=1+1", Number(value=0.1 + 0.2, printed="0.3")),
        ("-cmd|' /C calc'!A0", Number(value=-12_345.678, printed="−12,346")),
        ("Peñuelas, “O'Dell”", Number(value=0, printed="0")),
    )
    book = tmp_path / "filing.xlsx"
    with book.open("wb") as target:
        write_workbook(report_with(table_of(*rows)), target)

    sheets = sheets_as_text(spreadsheet, book)

    assert set(sheets) == {"Summary", "Activity"}
    assert sheets["Summary"][0][0] == "Home composting in Town, 2025-Q2"
    found = {row[0]: float(row[1]) for row in sheets["Activity"][3:] if row[0]}
    assert found == {words: pytest.approx(number.value, rel=1e-12) for words, number in rows}
