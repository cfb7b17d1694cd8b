"""`manage.py demo`: an invented programme from its paperwork to a filed quarter, and the site to look at it."""

import argparse
import json
from datetime import date
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone
from tqdm import tqdm

from outreach.filings import answering, gathering, periods, submitting
from outreach.filings.documents import files
from outreach.filings.models import Filing
from outreach.site.demo import asking, building, following_up, money, scenario, weighing
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

# What the demo's coordinator writes to what is found before filing.
FOUND_AND_ANSWERED = {
    "workshop-not-closed": "Its sign-in sheet was read in whole; headcount and van are checked next week.",
    "stock-not-counted": "The shed is counted with the next delivery; the ledger agrees with the van lists.",
    "exception-without-reason": "The crew lead is asked for each reason; the bins are counted as they went out.",
    "answers-in-review": "They are in no figure. The households are called before the next quarter.",
    "above-highest-weighed": "Volumes were asked in containers; some households are weighing this season.",
    "funded-twice": "Second bins came from the newer grant; both funders are told that the first one counts them.",
    "prior-counted-as-new": "Their records are compared with the sheets before the next quarter.",
    "yard-where-banned": "Trimmings still reach the landfill in bags; the hauler's audit says so.",
}


class Command(BaseCommand):
    help = "Make the demo's records, file its last full quarter, write the documents, and serve."

    def add_arguments(self, parser: argparse.ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help="stop before serving")
        parser.add_argument("--port", type=int, default=8000, help="where to serve (default %(default)s)")

    def handle(self, *args: Any, **options: Any) -> None:
        note = Path(settings.VAR) / "demo.json"
        call_command("migrate", verbosity=0)
        if not note.exists():
            self._refuse_other_records()
            note.write_text(json.dumps(self._build(), indent=1), encoding="utf-8")
        self._tell(json.loads(note.read_text(encoding="utf-8")))
        if not options["no_serve"]:
            call_command("serve", port=options["port"])

    def _refuse_other_records(self) -> None:
        if StaffMember.objects.exists() or Workshop.objects.exists():
            raise CommandError(
                f"{settings.VAR} holds records that are not the demo's. Set LOAMBOOK_VAR to an empty folder "
                "(and leave DATABASE_URL unset) to make the demo there."
            )

    def _build(self) -> dict[str, Any]:
        on, at = timezone.localdate(), timezone.now()
        staff = building.admit_staff(on=on)
        coordinator = staff["coordinator"][0]
        building.set_up_places()
        money.set_up(by=coordinator, at=at)
        with tqdm(desc="Taking in paperwork", total=len(scenario.paperwork()), unit="file") as bar:
            counts = building.take_paperwork_in(by=coordinator, at=at, watch=_by_file(bar))
        building.put_households_in_districts()
        money.spend(by=coordinator, at=at)
        weighing.weigh(by=coordinator)
        weighing.visit(by=coordinator)
        building.plan_what_comes(on=on, by=coordinator, at=at)
        asking.ask(by=coordinator, at=at)
        self.stdout.write("Filing the last full quarter …")
        filing = self._file(on, by=coordinator)
        following_up.ask(by=coordinator, at=at)
        following_up.keep_for_so_long(by=staff["administrator"][0], at=at)
        documents = Path(settings.VAR) / "documents"
        return {
            "counts": counts,
            "filing": filing.title,
            "summary": filing.report["summary"],
            "documents": [str(path) for path in files.write_documents(filing, documents)],
            "sign_in": {name: password for name, (_, password) in staff.items()},
        }

    def _file(self, on: date, *, by: StaffMember) -> Filing:
        """The last full quarter that the paperwork reaches."""
        last_workshop = Workshop.objects.held_before(on).latest("held_on").held_on
        quarter = min(periods.last_full_quarter(on), periods.quarter_of(last_workshop))
        written = {code: answering.Written(text=text) for code, text in FOUND_AND_ANSWERED.items()}
        act = submitting.Act(by=by, at=timezone.now(), cut_off=on, answers=written)
        return submitting.submit(
            period=periods.calendar_quarter(quarter),
            scope=gathering.Scope(jurisdiction=None),
            choices={},
            act=act,
        )

    def _tell(self, note: dict[str, Any]) -> None:
        counts = note["counts"]
        self.stdout.write(
            f"Taken in: {counts['workshops']} workshops, {counts['attendances']} people at them, "
            f"{counts['households']} households, {counts['handouts']} bins, {counts['answers']} answers; "
            f"{counts['for_review']} rows for a person to look at."
        )
        self.stdout.write(f"Filed: {note['filing']}\n{note['summary']}\n\nDocuments:")
        for path in note["documents"]:
            self.stdout.write(f"  {path}")
        self.stdout.write("\nSign in as:")
        for name, password in note["sign_in"].items():
            self.stdout.write(f"  {name:<14} {password}")


def _by_file(bar: "tqdm[Any]") -> Any:
    seen: set[str] = set()

    def watch(name: str, done: int, of: int) -> None:
        if name not in seen:
            seen.add(name)
            bar.update()

    return watch
