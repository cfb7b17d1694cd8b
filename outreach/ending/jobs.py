"""The two long steps of the end: writing everything out, and destroying contact data."""

import hashlib
import tempfile
from typing import Any

from django.core.exceptions import ValidationError
from django.core.files import File
from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.ending import closing, destroying, missing
from outreach.ending.closing import Act
from outreach.ending.models import EndStep
from outreach.ending.open_files import write_open_files
from outreach.staff.jobs import Progress, job
from outreach.staff.models import StaffMember

STORED_AS = "ending/open-files.zip"
OPEN_FILES = EndStep.Step.OPEN_FILES


@job("ending.open_files", title=gettext_lazy("Writing everything out"), refusals=(ValidationError,))
def open_files(progress: Progress, *, member_id: int) -> dict[str, Any]:
    """Write the open files in place of earlier ones, and note their digest."""
    at = timezone.now()
    waits_for = missing.before(OPEN_FILES, on=timezone.localdate(at))
    if waits_for or closing.is_done(EndStep.Step.CONTACT_DATA):
        raise ValidationError([one.sentence for one in waits_for] or [_("Contact data are destroyed.")])

    def watch(done: int, of: int) -> None:
        progress.step(done, of=of, words=_("Writing tables"))

    with tempfile.TemporaryFile() as target:
        counts = write_open_files(target, at=at, watch=watch)
        target.seek(0)
        digest = hashlib.file_digest(target, "sha256").hexdigest()
        byte_count = target.tell()
        target.seek(0)
        default_storage.delete(STORED_AS)
        stored = default_storage.save(STORED_AS, File(target))
    facts = {**counts, "sha256": digest, "bytes": byte_count, "stored_as": stored}
    act = Act(by=StaffMember.objects.get(pk=member_id), at=at)
    closing.note(step=OPEN_FILES, is_done=True, facts=facts, act=act)
    return {"url": reverse("programme_end"), "words": _("Written. Fetch the files and keep them safe.")}


@job("ending.destroy", title=gettext_lazy("Destroying contact data"), refusals=(ValidationError,))
def destroy(progress: Progress, *, member_id: int) -> dict[str, Any]:
    """Destroy contact data; begun again, it goes on with whoever is left."""

    def watch(done: int, of: int) -> None:
        progress.step(done, of=of, words=_("Forgetting households"))

    act = Act(by=StaffMember.objects.get(pk=member_id), at=timezone.now())
    destroying.destroy(act=act, watch=watch)
    return {"url": reverse("end_certificate"), "words": _("Destroyed, and listed.")}
