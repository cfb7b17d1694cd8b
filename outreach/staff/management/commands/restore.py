"""`manage.py restore DIR`: put a backup back in place."""

import argparse
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from outreach.staff import restoring
from outreach.staff.backups import BackupRefused


class Command(BaseCommand):
    help = "Check a backup and put it in place; what was there before is kept aside. Stop the site first."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, metavar="DIR", help="A folder made by back_up.")
        parser.add_argument("--yes", action="store_true", help="Put aside the database that is there.")

    def handle(self, *, folder: Path, yes: bool, **options: Any) -> None:
        try:
            aside = restoring.restore(folder, may_replace=yes, at=timezone.localtime())
        except (BackupRefused, OSError) as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"Restored {folder}. What was there before is in {aside}")
        self.stdout.write(
            "Everybody signs in again. Staff who were deactivated since the backup are active again: look at "
            "People. Residents who were forgotten since were forgotten again, by the list in forgotten.jsonl; on "
            "another machine, put that file beside the database first."
        )
