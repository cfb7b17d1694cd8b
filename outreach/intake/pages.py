"""The paperwork pages: files, how each column is understood, what came of each row."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import FileResponse, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.intake import jobs, staging, uploading
from outreach.intake.forms import UploadForm
from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.intake.outcomes import count_lines, made_of
from outreach.staff import audit
from outreach.staff import jobs as staff_jobs
from outreach.staff.roles import OFFICE, Role, StaffRequest, may

PAPERWORK_READERS = (*OFFICE, Role.AUDITOR)
ROWS_A_PAGE = 50


def may_change(request: StaffRequest) -> bool:
    return request.user.role in OFFICE


@require_http_methods(["GET", "POST"])
@may(*PAPERWORK_READERS)
def intake(request: StaffRequest) -> HttpResponse:
    """The files so far, and the form that brings new ones."""
    if request.method == "POST" and may_change(request):
        form = UploadForm(request.POST, request.FILES)
        if form.is_valid():
            return _uploaded(request, form)
    else:
        form = UploadForm()
    files = PaperworkFile.objects.with_rows_for_review()
    staged = [(one, staging.what_is_missing(one), staging.row_count([one])) for one in files.staged()]
    page = Paginator(files.apart_from_staged(), ROWS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "staged": staged,
        "may_take_in_all": staged and not any(missing for _file, missing, _rows in staged),
        "page_obj": page,
        "waiting": PaperworkRow.objects.for_review().count(),
        "may_change": may_change(request),
    }
    return render(request, "intake/list.html", context, status=422 if form.errors else 200)


def _uploaded(request: StaffRequest, form: UploadForm) -> HttpResponse:
    by, at = request.user, timezone.now()
    arrived = uploading.receive(form.cleaned_data["files"], by=by, at=at)
    for refused in arrived.refused:
        messages.error(request, str(refused))
    if arrived.job is not None and not arrived.files:
        return redirect("job", arrived.job.pk)
    if len(arrived.files) == 1 and not arrived.refused:
        return redirect("paperwork_file", arrived.files[0].pk)
    return redirect("intake")


@require_POST
@may(*OFFICE)
def take_in_all(request: StaffRequest) -> HttpResponse:
    """Everything that is staged, in the order that works."""
    return _take_in(request, list(PaperworkFile.objects.staged()))


def _take_in(request: StaffRequest, files: list[PaperworkFile]) -> HttpResponse:
    numbers = [file.pk for file in files]
    if staging.row_count(files) > jobs.LARGE_ROWS:
        arguments = {"file_ids": numbers, "by_id": request.user.pk}
        asked = staff_jobs.queue("intake.take_in", arguments, by=request.user, at=timezone.now())
        return redirect("job", asked.pk)
    report = staging.take_in_staged(file_ids=numbers, by=request.user, at=timezone.now())
    for refused in report.refused:
        messages.error(request, str(refused))
    if report.files:
        words = ngettext("%(count)d file was taken in.", "%(count)d files were taken in.", len(report.files))
        messages.success(request, words % {"count": len(report.files)})
    return redirect("paperwork_file", numbers[0]) if len(numbers) == 1 else redirect("intake")


@require_GET
@may(*PAPERWORK_READERS)
def paperwork_file(request: StaffRequest, pk: int) -> HttpResponse:
    """A staged file goes on to its columns; one taken in shows its counts and rows."""
    file = get_object_or_404(PaperworkFile.objects.with_rows_for_review(), pk=pk)
    if file.state == PaperworkFile.State.STAGED and may_change(request):
        return redirect("paperwork_columns", pk)
    asked = request.GET.get("outcome", "")
    rows = PaperworkRow.objects.of_file(file).with_outcome(asked)
    page = Paginator(rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
    made = made_of(page)
    context: dict[str, Any] = {
        "file": file,
        "page_obj": page,
        "rows": [(row, made[row.pk]) for row in page],
        "counts": count_lines(file.counts),
        "asked": asked,
        "outcomes": [*PaperworkRow.Outcome.choices, ("for_review", _("for a person to look at"))],
        "may_change": may_change(request),
        "entries": audit.entries_of(file),
    }
    return render(request, "intake/file.html", context)


@require_GET
@may(*PAPERWORK_READERS)
def paperwork_original(request: StaffRequest, pk: int) -> FileResponse:
    """The bytes as they came, to be saved, never shown in the browser."""
    file = get_object_or_404(PaperworkFile, pk=pk)
    response = FileResponse(
        staging.open_original(file),
        as_attachment=True,
        filename=file.name,
        content_type="application/octet-stream",
    )
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-store"
    return response


@require_POST
@may(*OFFICE)
def paperwork_set_aside(request: StaffRequest, pk: int) -> HttpResponse:
    file = get_object_or_404(PaperworkFile.objects.staged(), pk=pk)
    staging.set_aside(file=file, by=request.user, at=timezone.now())
    messages.success(request, _("%(name)s was set aside; nothing of it was written.") % {"name": file.name})
    return redirect("intake")


def take_in_one(request: StaffRequest, file: PaperworkFile) -> HttpResponse:
    return _take_in(request, [file])
