"""The one way paperwork comes in, for command and page: opened, understood, then written file by file."""

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial

from django.db import transaction

from outreach.intake.keeping import keep, plain_name
from outreach.intake.mappings import remembered_layouts
from outreach.intake.models import PaperworkFile
from outreach.intake.preparing import Lists, OpenedFile, open_file, prepare
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.results import COUNTED
from outreach.intake.writing import TAKEN_IN, write_file
from outreach.places.serving import PlacesList
from outreach.staff.models import StaffMember
from outreach.workshops.attendance import WorkshopWasCancelled

Watch = Callable[[str, int, int], None]


def _nobody_watches(_name: str, _done: int, _of: int) -> None:
    """No progress is shown."""


@dataclass(slots=True)
class Report:
    """What came of one call: the counts of all files together, and each file with its own."""

    files: list[tuple[str, dict[str, int]]] = field(default_factory=list)

    def add(self, name: str, counts: dict[str, int]) -> None:
        self.files.append((name, counts))

    @property
    def counts(self) -> dict[str, int]:
        together: Counter[str] = Counter()
        for _name, counts in self.files:
            together.update(counts)
        return {name: together[name] for name in COUNTED}


class _DryRun(Exception):
    """Ends a dry run, so that nothing of it is kept."""


def open_all(files: Iterable[tuple[str, bytes]], *, kind: str = "") -> list[OpenedFile]:
    """Open files given together, in the order in which they are taken in. Raises PaperworkRefused."""
    places, layouts = PlacesList.load(), remembered_layouts()
    opened = []
    for name, data in files:
        file = open_file(plain_name(name), data, places=places, remembered=layouts.get)
        opened.append(as_told(file, kind) if kind else file)
    for file in opened:
        refuse_unknown_kind(file)
    return sorted(opened, key=lambda file: file.in_order)


def as_told(opened: OpenedFile, kind: str) -> OpenedFile:
    """The file with its kind as a person says it, for every sheet that has rows."""
    readings = tuple(replace(reading, kind=kind) for reading in opened.readings)
    return replace(opened, readings=readings)


def refuse_unknown_kind(opened: OpenedFile) -> None:
    if not opened.kind:
        raise PaperworkRefused(
            file=opened.name,
            what="Its columns fit none of places list, stock list, sign-in sheet or follow-up answers.",
            remedy="Say the kind (--kind, or on the upload page) and check its headings.",
        )


def take_in(
    files: Sequence[tuple[str, bytes]],
    *,
    by: StaffMember | None,
    at: datetime,
    kind: str = "",
    is_dry_run: bool = False,
    watch: Watch = _nobody_watches,
) -> Report:
    """Take in files given together: places, stock, sheets by their day, answers; each all or nothing.

    All are opened before the first is written, so that a broken one stops everything. A dry run does the
    same and keeps nothing.
    """
    opened = open_all(files, kind=kind)
    if not is_dry_run:
        return _take_in(opened, by, at, watch, keep)
    report = Report()
    try:
        with transaction.atomic():
            report = _take_in(opened, by, at, watch, lambda _data: "not kept")
            raise _DryRun
    except _DryRun:
        return report


def _take_in(
    opened: Sequence[OpenedFile],
    by: StaffMember | None,
    at: datetime,
    watch: Watch,
    keep_bytes: Callable[[bytes], str],
) -> Report:
    report = Report()
    for file in opened:
        known = PaperworkFile.objects.filter(sha256=file.sha256, state=TAKEN_IN).first()
        if known is not None:
            report.add(file.name, already_known(known))
            continue
        fresh = understood_again(file)
        stored = PaperworkFile(
            sha256=fresh.sha256,
            name=fresh.name,
            stored_as=keep_bytes(fresh.data),
            byte_count=len(fresh.data),
            received_at=at,
            received_by=by,
        )
        report.add(file.name, write_opened(stored, fresh, by=by, at=at, watch=watch))
    return report


def understood_again(opened: OpenedFile) -> OpenedFile:
    """With the places that files before it brought, unless a person has settled how it is understood."""
    places, layouts = PlacesList.load(), remembered_layouts()
    again = open_file(opened.name, opened.data, places=places, remembered=layouts.get)
    told = opened.readings
    readings = tuple(
        new if new.kind == old.kind else replace(new, kind=old.kind)
        for new, old in zip(again.readings, told, strict=True)
    )
    return replace(again, readings=readings)


def write_opened(
    file: PaperworkFile,
    opened: OpenedFile,
    *,
    by: StaffMember | None,
    at: datetime,
    watch: Watch = _nobody_watches,
) -> dict[str, int]:
    """Read every row, then write the file. Raises PaperworkRefused, and nothing is written then."""
    lists = Lists.load()
    prepared = prepare(opened, lists, partial(watch, opened.name))
    file.kind = opened.kind
    file.reading = {"sheets": [reading.as_json() for reading in opened.readings]}
    try:
        return write_file(file=file, prepared=prepared, lists=lists, by=by, at=at)
    except WorkshopWasCancelled as cancelled:
        raise PaperworkRefused(file=opened.name, what=str(cancelled), remedy="") from cancelled


def already_known(file: PaperworkFile) -> dict[str, int]:
    """The counts of a file that has been taken in before: nothing new."""
    rows = file.rows.exclude(outcome="passed_over").count()
    return dict.fromkeys(COUNTED, 0) | {"already_known": rows}
