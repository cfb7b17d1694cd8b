"""The documents of a filing as files in a folder."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import BinaryIO

from django.utils.text import slugify

from outreach.filings.documents.live.book import write_live_workbook
from outreach.filings.documents.pdf import write_pdf
from outreach.filings.documents.workbook import write_workbook
from outreach.filings.models import Filing
from outreach.filings.report import Report

# How each document is written from a report, by the ending of its file.
WRITERS: dict[str, Callable[[Report, BinaryIO], None]] = {"pdf": write_pdf, "xlsx": write_workbook}


def file_name(filing: Filing, ending: str) -> str:
    return f"{slugify(filing.title)}-{filing.pk}.{ending}"


def live_file_name(filing: Filing) -> str:
    """Of the workbook that recomputes."""
    return file_name(filing, "xlsx").replace(".xlsx", "-recomputing.xlsx")


def pack_name(filing: Filing) -> str:
    """Of the auditor's pack."""
    return file_name(filing, "zip").replace(".zip", "-pack.zip")


def open_data_name(filing: Filing) -> str:
    """Of the package for an open-data site."""
    return file_name(filing, "zip").replace(".zip", "-open-data.zip")


def write_documents(filing: Filing, folder: Path) -> Iterator[Path]:
    """Write PDF, workbooks and figures; yields each path when it is written."""
    folder.mkdir(parents=True, exist_ok=True)
    report = Report.from_dict(filing.report)
    for ending, write in WRITERS.items():
        path = folder / file_name(filing, ending)
        with path.open("wb") as target:
            write(report, target)
        yield path
    if filing.is_recomputed_in_a_workbook:
        path = folder / live_file_name(filing)
        with path.open("wb") as target:
            write_live_workbook(filing, target)
        yield path
    path = folder / file_name(filing, "json")
    path.write_text(json.dumps(filing.report, indent=1, ensure_ascii=False), encoding="utf-8")
    yield path
