"""Another program that opens our workbooks: LibreOffice, which works out each sheet and writes it as text."""

import csv
import os
import shutil
import subprocess
from pathlib import Path

import pytest

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
