"""A disclosure as one zip: a CSV for each kind of records, the filings' PDFs, and the covering list."""

import hashlib
import io
import zipfile
from collections.abc import Callable
from datetime import datetime
from typing import Any, BinaryIO

from outreach.disclosure.covering_list import write_covering_list
from outreach.disclosure.models import RecordsRequest
from outreach.disclosure.row_kinds import BY_KEY, RowKind
from outreach.disclosure.rows import Blackening, Numbers, asked_for
from outreach.disclosure.withholding import Rules
from outreach.filings import shown
from outreach.filings.documents.files import WRITERS, file_name
from outreach.staff import csv_tables, zip_entries

Watch = Callable[[int, int], None]
TELL_EVERY = 2_000
COVERING_LIST = "covering-list.pdf"


def write_disclosure(
    request: RecordsRequest, rules: Rules, *, at: datetime, target: BinaryIO, watch: Watch
) -> list[dict[str, Any]]:
    """Write the zip in memory that does not grow with the rows; return what it holds, file by file."""
    kinds = [BY_KEY[key] for key in BY_KEY if key in request.kinds]
    of = sum(asked_for(request, kind).count() for kind in kinds)
    numbers, contents, done = Numbers(), [], 0
    with zipfile.ZipFile(target, "w", compression=zipfile.ZIP_DEFLATED) as package:
        for kind in kinds:
            blackening = Blackening(request, kind, rules, numbers)
            with package.open(zip_entries.entry(f"{kind.key}.csv", at), "w", force_zip64=True) as file:
                digest, rows = _write_rows(blackening, file, lambda n, before=done: watch(before + n, of))  # type: ignore[misc]
            done += rows
            contents.append(_listed(kind, f"{kind.key}.csv", str(kind.title), rows, digest))
            contents[-1]["withheld"] = [
                {"column": column, "values": values} for column, values in blackening.withheld.items()
            ]
            contents += [] if kind.key != "filings" else _filings(request, kind, package, at)
        covering = io.BytesIO()
        write_covering_list(request, contents, rules, at=at, target=covering)
        package.writestr(zip_entries.entry(COVERING_LIST, at), covering.getvalue())
    watch(of, of)
    return contents


def _write_rows(blackening: Blackening, file: Any, tell: Callable[[int], None]) -> tuple[str, int]:
    """The rows as CSV; their digest, and how many they are."""
    digest, rows = hashlib.sha256(), 0
    for rows, line in enumerate(
        csv_tables.lines(blackening.heading(), blackening.rows())
    ):  # the heading is the line before the first row
        digest.update(line)
        file.write(line)
        if rows % TELL_EVERY == 0:
            tell(rows)
    return digest.hexdigest(), rows


def _filings(
    request: RecordsRequest, kind: RowKind, package: zipfile.ZipFile, at: datetime
) -> list[dict[str, Any]]:
    """The filings themselves, as they were submitted."""
    contents = []
    for filing in asked_for(request, kind):
        made = io.BytesIO()
        WRITERS["pdf"](shown.frozen(filing), made)
        name = f"filings/{filing.pk}-{file_name(filing, 'pdf')}"
        package.writestr(zip_entries.entry(name, at), made.getvalue())
        digest = hashlib.sha256(made.getvalue()).hexdigest()
        contents.append(_listed(kind, name, filing.title, 1, digest))
    return contents


def _listed(kind: RowKind, file: str, title: str, rows: int, digest: str) -> dict[str, Any]:
    return {"kind": kind.key, "file": file, "title": title, "rows": rows, "sha256": digest, "withheld": []}
