"""The page of one job: how far it is, how it ended, and where to go on."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET

from outreach.staff import jobs
from outreach.staff.models import Job
from outreach.staff.roles import EVERYONE, StaffRequest, may


@require_GET
@may(*EVERYONE)
def job(request: StaffRequest, job_id: int) -> HttpResponse:
    asked = get_object_or_404(Job.objects.visible_to(request.user), pk=job_id)
    template = "staff/job.html#progress" if request.htmx else "staff/job.html"  # type: ignore[attr-defined]
    response = render(
        request, template, {"job": asked, "title": _title_of(asked), "go_on": _address_in(asked.result)}
    )
    response["Vary"] = "HX-Request"
    response["Cache-Control"] = "no-store"
    return response


def _title_of(job: Job) -> str:
    try:
        return str(jobs.kind_of(job.kind).title)
    except jobs.UnknownKind:
        return job.kind


def _address_in(result: dict[str, str] | None) -> str:
    """The address that the job gave to go on to, as long as it is ours."""
    address = (result or {}).get("url", "")
    return address if url_has_allowed_host_and_scheme(address, allowed_hosts=None) else ""
