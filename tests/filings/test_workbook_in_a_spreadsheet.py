"""The workbook as another program reads it: LibreOffice, which writes each sheet out as text."""

import csv
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from outreach.filings.documents.workbook import write_workbook
from outreach.filings.report import Number
from tests.filings.test_documents import report_with, table_of

# Every sheet, values as kept rather than as shown; LibreOffice's help calls these its filter options:
# comma, double quote, UTF-8, from line 1, no formats, language, quote all text, then sheet -1 for all.
EVERY_SHEET = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,false,false,false,false,-1"


@pytest.fixture
def spreadsheet() -> str:
    where = shutil.which("soffice")
    if where is None and os.environ.get("CI"):
        pytest.fail("LibreOffice is not installed, and here its tests are not skipped.")
    if where is None:
        pytest.skip("LibreOffice is not installed; on Debian: apt-get install libreoffice-calc-nogui")
    return where


def sheets_as_text(spreadsheet: str, book: Path) -> dict[str, list[list[str]]]:
    profile = f"-env:UserInstallation={(book.parent / 'profile').as_uri()}"
    command = [spreadsheet, profile, "--headless", "--convert-to", EVERY_SHEET, "--outdir", str(book.parent)]
    subprocess.run([*command, str(book)], check=True, capture_output=True, timeout=120)
    sheets = {}
    for path in book.parent.glob(f"{book.stem}-*.csv"):
        with path.open(newline="", encoding="utf-8") as source:
            sheets[path.stem.removeprefix(f"{book.stem}-")] = list(csv.reader(source))
    return sheets


def test_a_spreadsheet_reads_every_number_and_works_out_no_words(spreadsheet, tmp_path):
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
