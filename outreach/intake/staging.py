"""Files that were uploaded and opened but not written: a person checks them, then says 'take in'."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from django.core.files.base import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.intake.keeping import bytes_of, keep, plain_name
from outreach.intake.mappings import remember, remembered_layouts
from outreach.intake.models import PaperworkFile
from outreach.intake.preparing import OpenedFile, open_file
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.tables import whole
from outreach.intake.taking_in import (
    Report,
    Watch,
    already_known,
    refuse_what_says_too_little,
    write_opened,
)
from outreach.intake.understanding import Around, Reading
from outreach.places.serving import PlacesList
from outreach.staff.models import StaffMember

State = PaperworkFile.State


@transaction.atomic
def stage(*, name: str, data: bytes, by: StaffMember | None, at: datetime) -> PaperworkFile:
    """Open a file and note how it is understood; bytes that came before give the file that is there.

    Raises PaperworkRefused; nothing is noted then.
    """
    opened = open_file(plain_name(name), data, places=PlacesList.load(), remembered=remembered_layouts().get)
    known = PaperworkFile.objects.of_bytes(opened.sha256)
    there = known.taken_in().first() or known.staged().first()
    if there is not None:
        return there
    return PaperworkFile.objects.create(
        sha256=opened.sha256,
        name=opened.name,
        stored_as=keep(data),
        byte_count=len(data),
        kind=opened.kind,
        received_at=at,
        received_by=by,
        reading=reading_json(opened.readings, is_settled=False),
    )


def reading_json(readings: Iterable[Reading], *, is_settled: bool) -> dict[str, object]:
    """What is kept of how a file is understood; settled: a person has looked at it."""
    return {"sheets": [reading.as_json() for reading in readings], "settled": is_settled}


def readings_of(file: PaperworkFile) -> tuple[Reading, ...]:
    return tuple(Reading.from_json(sheet) for sheet in file.reading["sheets"])


def opened_again(file: PaperworkFile) -> OpenedFile:
    """A staged file with its rows, as a person settled it or as it is understood now."""
    opened = open_file(
        file.name, bytes_of(file), places=PlacesList.load(), remembered=remembered_layouts().get
    )
    return _as_settled(opened, readings_of(file)) if file.reading.get("settled") else opened


def _as_settled(opened: OpenedFile, readings: tuple[Reading, ...]) -> OpenedFile:
    """The sheets with how a person settled them; what was settled sheet by sheet stays so."""
    for sheets in (opened.sheets, tuple(whole(opened.sheets))):
        if [sheet.name for sheet in sheets] == [reading.name for reading in readings]:
            return replace(opened, sheets=sheets, readings=readings)
    return opened


def around(opened: OpenedFile) -> Around:
    """What its sheets are understood with, for a sheet whose heading row a person chose."""
    return Around(file_name=opened.name, places=PlacesList.load(), remembered=remembered_layouts().get)


@transaction.atomic
def settle_reading(
    *, file: PaperworkFile, readings: Sequence[Reading], by: StaffMember, at: datetime
) -> PaperworkFile:
    """Keep how a person understands a file, and remember its layouts for the next one."""
    file.reading = reading_json(readings, is_settled=True)
    file.kind = replace(opened_again(file), readings=tuple(readings)).kind
    file.save(update_fields=["reading", "kind"])
    for reading in readings:
        remember(reading=reading, by=by, at=at)
    return file


def set_aside(*, file: PaperworkFile, by: StaffMember, at: datetime) -> PaperworkFile:
    """A staged file that is not to be taken in after all; it stays on record, nothing of it is written."""
    PaperworkFile.objects.staged().numbered([file.pk]).update(state=State.SET_ASIDE)
    file.refresh_from_db()
    return file


@dataclass(slots=True)
class StagedReport(Report):
    """What came of staged files, and why some could not be taken in."""

    refused: list[PaperworkRefused] = field(default_factory=list)


def _nobody_watches(_name: str, _done: int, _of: int) -> None:
    """No progress is shown."""


def take_in_staged(
    *, file_ids: Iterable[int], by: StaffMember | None, at: datetime, watch: Watch = _nobody_watches
) -> StagedReport:
    """Take in staged files in the order that works, each all or nothing; a refused one stays staged."""
    report = StagedReport()
    files = list(PaperworkFile.objects.numbered(file_ids))
    for file in sorted(files, key=lambda one: as_noted(one).in_order):
        file.refresh_from_db()
        if file.state == State.TAKEN_IN:
            report.add(file.name, file.counts or already_known(file))
            continue
        try:
            opened = opened_again(file)
            refuse_what_says_too_little(opened)
            report.add(file.name, write_opened(file, opened, by=by, at=at, watch=watch))
        except PaperworkRefused as refused:
            report.refused.append(refused)
    return report


def row_count(files: Iterable[PaperworkFile]) -> int:
    """How many rows these files have, as they were counted when they were opened."""
    return sum(reading.row_count for file in files for reading in readings_of(file))


def open_original(file: PaperworkFile) -> File:
    """The bytes as they came."""
    return default_storage.open(file.stored_as)


def as_noted(file: PaperworkFile) -> OpenedFile:
    """A staged file as it was understood, without opening its bytes again."""
    return OpenedFile(name=file.name, data=b"", sheets=(), readings=readings_of(file))


def what_is_missing(file: PaperworkFile) -> str:
    """Why a staged file cannot be taken in yet, '' where it can."""
    try:
        refuse_what_says_too_little(as_noted(file))
    except PaperworkRefused as refused:
        return f"{refused.what} {_('Check its columns.')}"
    return ""
