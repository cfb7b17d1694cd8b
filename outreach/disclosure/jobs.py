"""Making a disclosure is work for a worker: a request for many rows outlasts a page."""

import uuid
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from outreach.disclosure import making
from outreach.disclosure.models import RecordsRequest
from outreach.staff.jobs import Progress, job
from outreach.staff.models import StaffMember


@job("disclosure.make", title=gettext_lazy("Making the files of a records request"))
def make(progress: Progress, *, request_id: int, key: str, member_id: int) -> dict[str, Any]:
    """Make the zip of a request."""
    request = RecordsRequest.objects.get(pk=request_id)

    def watch(done: int, of: int) -> None:
        progress.step(done, of=of, words=_("Writing rows"))

    making.make(
        request=request,
        key=uuid.UUID(key),
        by=StaffMember.objects.get(pk=member_id),
        at=timezone.now(),
        watch=watch,
    )
    return {"url": reverse("records_request", args=[request_id]), "words": _("Made.")}
