"""The one way paperwork comes in, for command and page: opened, understood, then written file by file."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import partial

from django.db import transaction

from outreach.intake.keeping import keep, plain_name
from outreach.intake.mappings import remembered_layouts
from outreach.intake.models import PaperworkFile
from outreach.intake.place_records import with_records, write_ahead
from outreach.intake.preparing import Lists, OpenedFile, open_file, prepare
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.results import COUNTED, RowResult
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Reading
from outreach.intake.writing import TAKEN_IN, write_file
from outreach.places.serving import PlacesList
from outreach.staff.models import StaffMember
from outreach.workshops.attendance import WorkshopWasCancelled

Kind = PaperworkFile.Kind
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a person says of the files where they do not say it themselves."""

    kind: str = ""
    occasion: Occasion = field(default_factory=Occasion)

    def of(self, opened: OpenedFile) -> OpenedFile:
        readings = tuple(
            replace(
                reading,
                kind=self.kind or reading.kind,
                occasion=self.occasion.or_else(reading.occasion),
            )
            for reading in opened.readings
        )
        return replace(opened, readings=readings)


NOTHING_TOLD = Told()


def open_all(files: Iterable[tuple[str, bytes]], *, told: Told = NOTHING_TOLD) -> list[OpenedFile]:
    """Open files given together, in the order in which they are taken in. Raises PaperworkRefused."""
    places, layouts = PlacesList.load(), remembered_layouts()
    opened = []
    for name, data in files:
        file = told.of(open_file(plain_name(name), data, places=places, remembered=layouts.get))
        refuse_what_says_too_little(file)
        opened.append(file)
    if not places.places and not any(Kind.PLACES in file.kinds for file in opened):
        for file in opened:
            _refuse_without_places(file)
    return sorted(opened, key=lambda file: file.in_order)


def refuse_what_says_too_little(opened: OpenedFile) -> None:
    """A file of no known kind, or a sign-in sheet that names no day or venue anywhere."""
    if not opened.kind:
        raise PaperworkRefused(
            file=opened.name,
            what="Its columns fit none of places list, stock list, sign-in sheet or follow-up answers.",
            remedy="Say the kind (--kind, or on the page where it is taken in) and look at its headings.",
        )
    for reading in opened.readings:
        missing = _missing_in(reading)
        if missing:
            raise PaperworkRefused(
                file=opened.name,
                what=f"Sheet '{reading.name}' does not say the {missing} of its workshop.",
                remedy=f"Give it (--{missing.replace(' ', '-')}, or on the page where it is taken in), or put it"
                " into the name of the file.",
            )


def _refuse_without_places(opened: OpenedFile) -> None:
    """Without a places list everybody would count as living elsewhere."""
    if any(reading.kind == Kind.SIGN_IN for reading in opened.readings):
        raise PaperworkRefused(
            file=opened.name,
            what="No places served are on record, so nobody can say who lives in them.",
            remedy="Take in the places list first, or together with it.",
        )


def _missing_in(reading: Reading) -> str:
    if reading.kind != Kind.SIGN_IN or not reading.row_count:
        return ""
    says = reading.habits.columns
    if "row_code" in says:
        return ""  # a code tells both; rows without one are looked at one by one
    if reading.occasion.held_on is None and "date" not in says:
        return "day"
    return "" if reading.occasion.venue or "venue" in says else "venue"


def take_in(
    files: Sequence[tuple[str, bytes]],
    *,
    by: StaffMember | None,
    at: datetime,
    told: Told = NOTHING_TOLD,
    is_dry_run: bool = False,
    watch: Watch = _nobody_watches,
) -> Report:
    """Take in files given together: places, stock, sheets by their day, answers; each all or nothing.

    All are opened before the first is written, so that a broken one stops everything. A dry run does the
    same and keeps nothing.
    """
    opened = open_all(files, told=told)
    if not is_dry_run:
        return _take_in(opened, told, by, at, watch, keep)
    report = Report()
    try:
        with transaction.atomic():
            report = _take_in(opened, told, by, at, watch, lambda _data: "not kept")
            raise _DryRun
    except _DryRun:
        return report


def _take_in(
    opened: Sequence[OpenedFile],
    told: Told,
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
        # Again, with the places that the files before it brought.
        fresh = told.of(file.understood(PlacesList.load(), remembered_layouts().get))
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
    if not lists.places.places and Kind.PLACES not in opened.kinds:
        _refuse_without_places(opened)
    file.kind = opened.kind
    file.reading = {"sheets": [reading.as_json() for reading in opened.readings], "settled": True}
    with _places_first(opened, by=by, at=at) as made:
        lists = Lists.load() if made else lists
        prepared = [with_records(row, made) for row in prepare(opened, lists, partial(watch, opened.name))]
        try:
            return write_file(file=file, prepared=prepared, lists=lists, by=by, at=at)
        except WorkshopWasCancelled as cancelled:
            raise PaperworkRefused(file=opened.name, what=str(cancelled), remedy="") from cancelled


@contextmanager
def _places_first(
    opened: OpenedFile, *, by: StaffMember | None, at: datetime
) -> Iterator[dict[tuple[str, int], RowResult]]:
    """Where one file lists places and people, its places are written before its people are read.

    Both in one transaction: all of the file comes in, or nothing of it.
    """
    if Kind.PLACES not in opened.kinds or len(opened.kinds) < 2:
        yield {}
        return
    with transaction.atomic():
        yield write_ahead(prepare(opened.only(Kind.PLACES), Lists.load()), by=by, at=at)


def already_known(file: PaperworkFile) -> dict[str, int]:
    """The counts of a file that has been taken in before: nothing new."""
    rows = file.rows.exclude(outcome="passed_over").count()
    return dict.fromkeys(COUNTED, 0) | {"already_known": rows}
