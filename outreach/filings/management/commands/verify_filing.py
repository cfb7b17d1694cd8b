"""`manage.py verify_filing`: compute a filing again and say equal, or where not."""

import argparse
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from diversion.rounding import counted
from outreach.filings import verifying
from outreach.filings.frozen_inputs import FactorsChanged
from outreach.filings.models import Filing


class Command(BaseCommand):
    help = "Compute a filing again from its frozen inputs and lines, and say equal, or where not."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("filing", type=int, help="its number, as the list of filings shows it")

    def handle(self, *args: Any, **options: Any) -> None:
        filing = Filing.objects.with_names().numbered(options["filing"])
        if filing is None:
            raise CommandError(f"There is no filing number {options['filing']}.")
        try:
            found = verifying.verify(filing)
        except FactorsChanged as refusal:
            raise CommandError(str(refusal)) from refusal
        for one in found:
            self.stdout.write(f"{one.where}: filed {one.filed}, found {one.found}")
        if found:
            raise CommandError(f"{filing.title} differs in {counted(len(found), 'place')}.")
        self.stdout.write(f"Equal: {filing.title} (number {filing.pk})")
