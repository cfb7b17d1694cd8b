"""`manage.py back_up DIR`: a consistent copy of everything, while the site runs."""

import argparse
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from outreach.staff import backing_up
from outreach.staff.backups import BackupRefused


class Command(BaseCommand):
    help = "Write database, uploads and secret key into a new folder. The site may go on running."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, metavar="DIR", help="A folder that is new or empty.")

    def handle(self, *, folder: Path, **options: Any) -> None:
        try:
            manifest = backing_up.back_up(folder, at=timezone.now())
        except (BackupRefused, OSError) as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"Backed up {len(manifest.files)} files to {folder}")
        self.stdout.write("It holds residents' names and the secret key: keep it where only you can read it.")
