"""The documents of a filing, made from its frozen report whenever they are asked for."""

import io

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, JsonResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from outreach.filings import jobs, shown
from outreach.filings.data_package import write_data_package
from outreach.filings.documents.files import WRITERS, file_name, live_file_name, open_data_name, pack_name
from outreach.filings.documents.live.book import NothingToRecompute, write_live_workbook
from outreach.filings.models import Filing
from outreach.staff.jobs import queue
from outreach.staff.roles import READERS, TRAIL_READERS, StaffRequest, may


@require_GET
@may(*READERS)
def pdf(request: HttpRequest, pk: int) -> FileResponse:
    return _document(pk, "pdf")


@require_GET
@may(*READERS)
def workbook(request: HttpRequest, pk: int) -> FileResponse:
    return _document(pk, "xlsx")


def _document(pk: int, ending: str) -> FileResponse:
    filing = get_object_or_404(Filing, pk=pk)
    target = io.BytesIO()
    WRITERS[ending](shown.frozen(filing), target)
    target.seek(0)
    return FileResponse(target, as_attachment=True, filename=file_name(filing, ending))


@require_POST
@may(*READERS)
def live_workbook(request: StaffRequest, pk: int) -> HttpResponseBase:
    """The workbook that recomputes: at once where there are few answers, else made by a worker."""
    filing = get_object_or_404(Filing, pk=pk)
    if not filing.is_recomputed_in_a_workbook:
        messages.error(request, str(NothingToRecompute(filing)))
        return redirect(filing)
    if jobs.is_long(filing):
        asked = queue("filings.live_workbook", {"filing_id": pk}, by=request.user, at=timezone.now())
        return redirect("job", asked.pk)
    target = io.BytesIO()
    write_live_workbook(filing, target)
    target.seek(0)
    return FileResponse(target, as_attachment=True, filename=live_file_name(filing))


@require_GET
@may(*READERS)
def live_file(request: HttpRequest, pk: int) -> FileResponse:
    """The one that a worker made."""
    filing = get_object_or_404(Filing, pk=pk)
    return _stored(jobs.stored_as(filing), live_file_name(filing))


def _stored(path: str, name: str) -> FileResponse:
    if not default_storage.exists(path):
        raise Http404(_("It has not been made yet. Ask for it on the page of the filing."))
    return FileResponse(default_storage.open(path), as_attachment=True, filename=name)


@require_GET
@may(*READERS)
def data_package(request: HttpRequest, pk: int) -> FileResponse:
    """Aggregates for an open-data site, small counts merged."""
    filing = get_object_or_404(Filing, pk=pk)
    target = io.BytesIO()
    write_data_package(filing, target)
    target.seek(0)
    return FileResponse(target, as_attachment=True, filename=open_data_name(filing))


@require_POST
@may(*TRAIL_READERS)
def pack(request: StaffRequest, pk: int) -> HttpResponseBase:
    """The auditor's pack, made by a worker: it holds the paperwork behind the filing."""
    filing = get_object_or_404(Filing, pk=pk)
    asked = queue("filings.pack", {"filing_id": filing.pk}, by=request.user, at=timezone.now())
    return redirect("job", asked.pk)


@require_GET
@may(*TRAIL_READERS)
def pack_file(request: HttpRequest, pk: int) -> FileResponse:
    filing = get_object_or_404(Filing, pk=pk)
    return _stored(jobs.pack_stored_as(filing), pack_name(filing))


@require_GET
@may(*READERS)
def figures(request: HttpRequest, pk: int) -> JsonResponse:
    filing = get_object_or_404(Filing, pk=pk)
    response = JsonResponse(filing.report)
    response["Content-Disposition"] = f'attachment; filename="{file_name(filing, "json")}"'
    return response
