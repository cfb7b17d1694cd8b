"""`manage.py forget_due`: forget whoever's retention date has passed. For cron; run twice, it goes on where it was."""

import argparse
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from outreach.households import retention


class Command(BaseCommand):
    help = "Remove names, addresses and contact of households whose retention date has passed; counts stay."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--dry-run", action="store_true", help="say how many, change nothing")

    def handle(self, *, dry_run: bool, **options: Any) -> None:
        at = timezone.now()
        if retention.schedule() is None:
            raise CommandError(
                "Nobody has set how long contact data is kept, so nothing is removed. "
                "Set it under Set-up, How long contact data is kept."
            )
        if dry_run:
            found = retention.look(timezone.localdate(at))
            self._say("Would go", len(found.goes), len(found.held), len(found.living_on))
            return
        run = retention.forget_due(at=at)
        self._say("Forgotten", run.forgotten, run.held, run.living_on)

    def _say(self, word: str, gone: int, held: int, living_on: int) -> None:
        self.stdout.write(
            f"{word}: {gone} households. Held: {held}. Kept because someone is known elsewhere: {living_on}."
        )
