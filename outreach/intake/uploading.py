"""Files that come through the browser: small ones are opened at once, large ones by a worker."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime

from django.core.files.uploadedfile import UploadedFile

from outreach.intake.jobs import LARGE_BYTES
from outreach.intake.keeping import keep, plain_name
from outreach.intake.models import PaperworkFile
from outreach.intake.opening import MOST_BYTES
from outreach.intake.refusals import PaperworkRefused
from outreach.intake.staging import stage
from outreach.staff import jobs
from outreach.staff.models import Job, StaffMember


@dataclass(slots=True)
class Arrived:
    """What became of the files of one upload."""

    files: list[PaperworkFile] = field(default_factory=list)
    refused: list[PaperworkRefused] = field(default_factory=list)
    job: Job | None = None


def receive(uploads: Sequence[UploadedFile], *, by: StaffMember, at: datetime) -> Arrived:
    """Stage each file, or say why not; a refused one does not hold up the others."""
    arrived = Arrived()
    for upload in uploads:
        try:
            _receive_one(upload, arrived, by, at)
        except PaperworkRefused as refused:
            arrived.refused.append(refused)
    return arrived


def _receive_one(upload: UploadedFile, arrived: Arrived, by: StaffMember, at: datetime) -> None:
    name = plain_name(upload.name or "paperwork")
    if (upload.size or 0) > MOST_BYTES:
        raise PaperworkRefused(
            file=name,
            what=f"The file is larger than {MOST_BYTES // (1024 * 1024)} MB.",
            remedy="Split it into smaller files.",
        )
    data = upload.read()
    if len(data) <= LARGE_BYTES:
        arrived.files.append(stage(name=name, data=data, by=by, at=at))
        return
    arguments = {"name": name, "stored_as": keep(data), "by_id": by.pk}
    arrived.job = jobs.queue("intake.open", arguments, by=by, at=at)
