"""`manage.py file_quarter`: file a quarter, or another period, and write its documents."""

import argparse
from pathlib import Path
from typing import Any

from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from diversion.errors import DiversionError
from outreach.filings import answering, computing, periods, submitting
from outreach.filings.documents import files
from outreach.filings.gathering import Scope, SumsTooLarge
from outreach.filings.models import Filing
from outreach.filings.periods import Period
from outreach.places.models import Jurisdiction


class Command(BaseCommand):
    help = "File a period: compute it from the records, freeze it, and write its PDF, workbook and figures."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--jurisdiction", required=True, help="its name, or 'all'")
        which = parser.add_mutually_exclusive_group(required=True)
        which.add_argument("--quarter", help="a calendar quarter, such as 2025-Q2")
        which.add_argument(
            "--period",
            help="2025 (calendar year), FY2026-Q1 or FY2026 (of the jurisdiction's fiscal year, named by the year in "
            "which it ends), or a first and a last day: 2025-02-15/2026-02-14",
        )
        parser.add_argument("--out", type=Path, help="folder for the documents; made if it is not there")
        parser.add_argument("--restate", metavar="REASONS", help="file again, with these reasons")

        parser.add_argument(
            "--answer",
            action="append",
            default=[],
            metavar='KEY="TEXT"',
            help="what is to be said of a finding that stands; once for each. Without them the findings are listed",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        scope = Scope(jurisdiction=_jurisdiction(options["jurisdiction"]))
        try:
            filing = self._submit(
                _period(options, scope), scope, options["restate"], _answers(options["answer"])
            )
        except answering.Unanswered as refusal:
            raise CommandError(_listed(refusal)) from refusal
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        except (periods.NotAPeriod, submitting.RecordsMoved, SumsTooLarge, DiversionError) as refusal:
            raise CommandError(str(refusal)) from refusal
        self.stdout.write(f"Filed: {filing.title} (number {filing.pk})")
        self.stdout.write(filing.report["summary"])
        for path in files.write_documents(filing, options["out"]) if options["out"] else ():
            self.stdout.write(f"Wrote {path}")

    def _submit(
        self, period: Period, scope: Scope, reasons: str | None, answers: dict[str, answering.Written]
    ) -> Filing:
        filed = Filing.objects.about(scope.jurisdiction, period).standing().first()
        if reasons and not filed:
            raise CommandError(f"{period.name} is not filed yet, so there is nothing to restate.")
        act = submitting.Act(
            by=None,
            at=timezone.now(),
            cut_off=timezone.localdate(),
            restates=filed if reasons else None,
            reasons=reasons or "",
            answers=answers,
        )
        return submitting.submit(period=period, scope=scope, choices={}, act=act)


def _period(options: dict[str, Any], scope: Scope) -> Period:
    if options["quarter"]:
        return periods.calendar_quarter(periods.read_quarter(options["quarter"]))
    return computing.read_period(options["period"], scope=scope)


def _answers(given: list[str]) -> dict[str, answering.Written]:
    pairs = [one.partition("=") for one in given]
    for key, sign, text in pairs:
        if not (key.strip() and sign and text.strip()):
            raise CommandError(f'Write an answer as KEY="what is to be said", not {key!r}.')
    return {key.strip(): answering.Written(text=text) for key, _sign, text in pairs}


def _listed(refusal: answering.Unanswered) -> str:
    lines = (f'  --answer {one.code}="…"   {one.headline} {one.what_to_do}' for one in refusal.findings)
    return "\n".join(["Not filed. Mend what was found, or answer it in writing:", *lines])


def _jurisdiction(name: str) -> Jurisdiction | None:
    if name.lower() == "all":
        return None
    found = Jurisdiction.objects.named(name)
    if found is None:
        known = ", ".join(Jurisdiction.objects.values_list("name", flat=True)) or "none yet"
        raise CommandError(f"No jurisdiction is called {name!r}. Known: {known}, or 'all'.")
    return found
