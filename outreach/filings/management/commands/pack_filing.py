"""`manage.py pack_filing`: a filing with everything that stands behind it, as one zip."""

import argparse
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from outreach.filings.documents.files import pack_name
from outreach.filings.models import Filing
from outreach.filings.pack.writing import write_pack


class Command(BaseCommand):
    help = "Pack a filing for an auditor: documents, working, paperwork with digests, exceptions, factors."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("filing", type=int, help="its number, as the list of filings shows it")
        parser.add_argument("--out", type=Path, default=Path(), help="folder (default: here)")

    def handle(self, *args: Any, **options: Any) -> None:
        filing = Filing.objects.with_names().numbered(options["filing"])
        if filing is None:
            raise CommandError(f"There is no filing number {options['filing']}.")
        options["out"].mkdir(parents=True, exist_ok=True)
        path = options["out"] / pack_name(filing)
        with path.open("wb") as target:
            write_pack(filing, target)
        self.stdout.write(f"Wrote {path}")
