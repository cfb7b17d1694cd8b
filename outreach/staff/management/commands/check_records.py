"""Compare balances, stays and the like with the rows they follow from."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import transaction

from outreach.staff import checking


class Command(BaseCommand):
    help = "Compare what is kept (stock balances, stays, days in force) with the rows; --mend makes it anew."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="write what the rows say")

    def handle(self, *args: Any, mend: bool, **options: Any) -> None:
        wrong = 0
        for kept in checking.everything():
            differences = kept.compare()
            wrong += len(differences)
            self.stdout.write(f"{kept.name}: {len(differences) or 'no'} difference(s)")
            for line in differences:
                self.stdout.write(f"  {line}")
            if mend and differences:
                with transaction.atomic():
                    kept.rebuild()
                self.stdout.write("  made anew")
        if wrong and not mend:
            raise CommandError("What is kept differs from the rows. Run again with --mend to write it anew.")
