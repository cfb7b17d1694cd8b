"""Everything of the programme as open files that need no Loambook: CSV, a description, and a guide in plain words."""

import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Iterator
from datetime import datetime
from typing import Any, BinaryIO

from django.core.files.storage import default_storage

from outreach.ending.guide import guide
from outreach.ending.tables import Table, tables
from outreach.filings import shown
from outreach.filings.documents.files import WRITERS, file_name
from outreach.filings.models import Filing
from outreach.intake.models import PaperworkFile
from outreach.staff import csv_tables, zip_entries

Watch = Callable[[int, int], None]
ROWS_AT_ONCE = 2_000


def write_open_files(target: BinaryIO, *, at: datetime, watch: Watch) -> dict[str, int]:
    """Write the zip row by row; return how many tables and rows it has."""
    all_tables = list(tables())
    resources, rows = [], 0
    with zipfile.ZipFile(target, "w", compression=zipfile.ZIP_DEFLATED) as package:
        for number, table in enumerate(all_tables):
            watch(number, len(all_tables))
            with package.open(zip_entries.entry(table.path, at), "w", force_zip64=True) as file:
                resource = _write_table(table, file)
            rows += resource.pop("rows")
            resources.append(resource)
        for path, content in (*_filings(), *_paperwork()):
            package.writestr(zip_entries.entry(path, at), content)
        described = json.dumps(_described(resources, at), indent=1, ensure_ascii=False)
        package.writestr(zip_entries.entry("datapackage.json", at), described)
        package.writestr(zip_entries.entry("README.md", at), guide(all_tables, at))
    watch(len(all_tables), len(all_tables))
    return {"tables": len(all_tables), "rows": rows}


def _write_table(table: Table, file: Any) -> dict[str, Any]:
    """The table as CSV; its description, with how many rows and their digest."""
    digest, size, rows = hashlib.sha256(), 0, -1
    for rows, line in enumerate(_lines(table)):  # noqa: B007  # the heading is the line before the first row
        digest.update(line)
        size += len(line)
        file.write(line)
    return {
        "name": table.name,
        "title": str(table.model._meta.verbose_name),
        "description": table.about,
        "path": table.path,
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": size,
        "hash": f"sha256:{digest.hexdigest()}",
        "schema": table.schema(),
        "rows": rows,
    }


def _lines(table: Table) -> Iterator[bytes]:
    found = table.model._base_manager.order_by("pk").values_list(*table.columns)
    rows = (map(_written, row) for row in found.iterator(chunk_size=ROWS_AT_ONCE))
    return csv_tables.lines(table.columns, rows, encoding="utf-8")


def _written(value: Any) -> Any:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict | list):
        return json.dumps(value, ensure_ascii=False, default=str)
    if isinstance(value, datetime):
        return value.isoformat()
    return value


def _filings() -> Iterator[tuple[str, bytes]]:
    for filing in Filing.objects.order_by("pk").iterator(chunk_size=1):
        made = io.BytesIO()
        WRITERS["pdf"](shown.frozen(filing), made)
        yield f"filings/{filing.pk}-{file_name(filing, 'pdf')}", made.getvalue()


def _paperwork() -> Iterator[tuple[str, bytes]]:
    for file in PaperworkFile.objects.order_by("pk").iterator():
        if default_storage.exists(file.stored_as):
            with default_storage.open(file.stored_as) as stored:
                yield f"personal/paperwork/{file.pk}-{file.name.replace('/', '-')}", stored.read()


def _described(resources: list[dict[str, Any]], at: datetime) -> dict[str, Any]:
    return {
        "profile": "data-package",
        "name": "home-composting-programme",
        "title": "Records of a home-composting outreach programme",
        "created": at.isoformat(),
        "resources": resources,
    }
