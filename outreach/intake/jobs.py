"""Large files outside of a request: opened, or taken in, with progress on the page of the job."""

from typing import Any

from django.core.files.storage import default_storage
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.intake import staging
from outreach.intake.refusals import PaperworkRefused
from outreach.staff.jobs import CannotDo, Progress, job
from outreach.staff.models import StaffMember

LARGE_BYTES = 500_000
LARGE_ROWS = 500
STEP_EVERY = 100


def _member(by_id: int | None) -> StaffMember | None:
    return StaffMember.objects.filter(pk=by_id).first()


@job("intake.open", title=gettext_lazy("Opening paperwork"), refusals=(PaperworkRefused,))
def open_stored(progress: Progress, *, name: str, stored_as: str, by_id: int | None) -> dict[str, Any]:
    """Open bytes that were uploaded and note how they are understood."""
    progress.step(0, of=1, words=_("Opening %(name)s") % {"name": name})
    with default_storage.open(stored_as) as stored:
        data = stored.read()
    file = staging.stage(name=name, data=data, by=_member(by_id), at=timezone.now())
    return {"url": reverse("paperwork_file", args=[file.pk]), "words": _("Opened; nothing is written yet.")}


@job("intake.take_in", title=gettext_lazy("Taking in paperwork"), refusals=(PaperworkRefused,))
def take_in(progress: Progress, *, file_ids: list[int], by_id: int | None) -> dict[str, Any]:
    """Take in staged files; what was written before the worker was killed is not written again."""

    def watch(name: str, done: int, of: int) -> None:
        if done % STEP_EVERY == 0 or done == of:
            progress.step(done, of=max(of, done), words=_("Reading %(name)s") % {"name": name})

    report = staging.take_in_staged(file_ids=file_ids, by=_member(by_id), at=timezone.now(), watch=watch)
    if report.refused:
        raise CannotDo(" ".join(str(refused) for refused in report.refused))
    one = reverse("paperwork_file", args=file_ids) if len(file_ids) == 1 else reverse("intake")
    return {"url": one, "words": _("Taken in.")}
