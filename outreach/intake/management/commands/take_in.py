"""`manage.py take_in FILE…`: sign-in sheets, answer exports, stock and places lists into the records."""

import json
from argparse import ArgumentParser
from datetime import date
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from tqdm import tqdm

from outreach.intake.hours import read_start
from outreach.intake.models import PaperworkFile
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.taking_in import Report, Told, take_in
from outreach.intake.titles import Occasion

WORDS = {
    "workshops": "workshops recorded",
    "attendances": "people at workshops",
    "people": "people new to the records",
    "households": "households new to the records",
    "handouts": "bins that went home",
    "second_bins": "of them for a household that already had one",
    "outside_area": "people at workshops from places not served",
    "answers": "answers",
    "answers_active": "of them still composting",
    "answers_repeated": "answers sent again",
    "for_review": "rows for a person to look at",
    "already_known": "rows that were already recorded",
    "came_along": "people who came along with them and are on no list",
}


class Command(BaseCommand):
    help = "Take in paperwork: XLSX or CSV files of places, stock, sign-in sheets or follow-up answers."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("files", nargs="+", metavar="FILE", type=Path)
        parser.add_argument("--dry-run", action="store_true", help="say what would come of it; write nothing")
        parser.add_argument("--json", action="store_true", help="print the counts as one JSON object")
        parser.add_argument("--kind", choices=PaperworkFile.Kind.values, help="where it cannot be recognised")
        parser.add_argument(
            "--day",
            type=date.fromisoformat,
            help="day of the workshop, as 2025-05-09, where the file does not say",
        )
        parser.add_argument(
            "--starts",
            default="",
            help="start of the workshop, as 10:00 or '2 pm', where a venue had two that day",
        )
        parser.add_argument("--venue", default="", help="venue of the workshop, where the file does not say")
        parser.add_argument("--city", default="", help="city of the venue, where the file does not say")

    def handle(self, *args: Any, **options: Any) -> None:
        files = [(path.name, _read(path)) for path in options["files"]]
        try:
            with _Bars(self.stderr) as bars:
                report = take_in(
                    files,
                    by=None,
                    at=timezone.now(),
                    told=_told(options),
                    is_dry_run=options["dry_run"],
                    watch=bars.show,
                )
        except PaperworkRefused as refused:
            raise CommandError(str(refused)) from refused
        if options["json"]:
            self.stdout.write(json.dumps(report.counts))
        else:
            self._tell(report, is_dry_run=options["dry_run"])

    def _tell(self, report: Report, *, is_dry_run: bool) -> None:
        for name, counts in report.files:
            said = [f"{WORDS[key]} {number:,}" for key, number in counts.items() if number]
            self.stdout.write(f"{name}: {'; '.join(said) or 'nothing new'}")
        self.stdout.write("Dry run: nothing was written. It would be:" if is_dry_run else "Together:")
        for key, number in report.counts.items():
            self.stdout.write(f"{number:>7,}  {WORDS[key]}")


class _Bars:
    """One progress bar a file, on the error stream so that `--json` stays clean."""

    def __init__(self, stream: Any) -> None:
        self._stream, self._name = stream, ""
        self._bar: Any = None

    def __enter__(self) -> "_Bars":
        return self

    def __exit__(self, *_error: object) -> None:
        self._close()

    def show(self, name: str, done: int, of: int) -> None:
        if name != self._name:
            self._close()
            self._name = name
            self._bar = tqdm(
                total=of, desc=name, unit="row", file=self._stream, disable=None, mininterval=0.5
            )
        self._bar.update(done - self._bar.n)

    def _close(self) -> None:
        if self._bar is not None:
            self._bar.close()


def _told(options: dict[str, Any]) -> Told:
    start = read_start(options["starts"])
    if options["starts"] and not start:
        raise CommandError(f"{options['starts']!r} is no hour. Write it as 10:00 or '2 pm', or morning.")
    occasion = Occasion(held_on=options["day"], start=start, venue=options["venue"], city=options["city"])
    return Told(kind=options["kind"] or "", occasion=occasion)


def _read(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError as problem:
        raise CommandError(f"{path}: cannot be read ({problem.strerror}). Nothing was written.") from problem
