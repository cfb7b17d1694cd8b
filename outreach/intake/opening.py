"""Bytes of a file → sheets of rows. What a file is, its content says; its name is not believed."""

import hashlib

from outreach.intake.delimited import read_delimited
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.sheets import Sheet
from outreach.intake.workbooks import read_workbook

MOST_BYTES = 30 * 1024 * 1024
SAVE_AS = "Open it in a spreadsheet program and save it as XLSX or CSV, then take that in."

_OLD_OFFICE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_ENCRYPTED_PART = "EncryptedPackage".encode("utf-16-le")
_OTHERS = (
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"{\\rtf", "a text document (RTF)"),
    (b"\x1f\x8b", "a compressed archive"),
    (b"7z\xbc\xaf", "a compressed archive"),
    (b"Rar!", "a compressed archive"),
    (b"SQLite format 3", "a database"),
)


def digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def open_paperwork(name: str, data: bytes) -> list[Sheet]:
    """Read a workbook or a delimited text into sheets.

    Raises PaperworkRefused where the file is not what it says, is encrypted, too large or broken.
    """
    _refuse_what_is_no_table(name, data)
    sheets = read_workbook(name, data) if data.startswith(b"PK") else [read_delimited(name, data)]
    if not any(row.filled for sheet in sheets for row in sheet.rows):
        raise PaperworkRefused(
            file=name, what="There are no rows in it.", remedy="Check that this is the right file."
        )
    return sheets


def _refuse_what_is_no_table(name: str, data: bytes) -> None:
    if not data.strip():
        raise PaperworkRefused(
            file=name, what="The file is empty.", remedy="Check that it was saved, and choose it again."
        )
    if len(data) > MOST_BYTES:
        size = len(data) // (1024 * 1024)
        raise PaperworkRefused(
            file=name,
            what=f"The file has {size} MB; at most {MOST_BYTES // (1024 * 1024)} MB are taken in.",
            remedy="Split it into smaller files.",
        )
    if data.startswith(_OLD_OFFICE):
        _refuse_old_office(name, data)
    for magic, what in _OTHERS:
        if data.startswith(magic):
            raise PaperworkRefused(
                file=name,
                what=f"This is {what}, whatever its name says, and not a table.",
                remedy="Choose the spreadsheet (XLSX) or the text export (CSV).",
            )
    if data.lstrip()[:200].lower().startswith((b"<!doctype", b"<html", b"<table", b"<?xml")):
        raise PaperworkRefused(file=name, what="This is a web page or XML, not a table.", remedy=SAVE_AS)


def _refuse_old_office(name: str, data: bytes) -> None:
    if _ENCRYPTED_PART in data:
        raise PaperworkRefused(
            file=name,
            what="The workbook is encrypted with a password.",
            remedy="Open it with its password, remove the password, save, and take it in again.",
        )
    raise PaperworkRefused(
        file=name, what="This is a document of the old kind (.xls or .doc).", remedy=SAVE_AS
    )
