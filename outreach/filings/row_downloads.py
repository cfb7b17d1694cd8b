"""The records behind a filing's period, made by a worker: without names for readers, with names for the office.

The version with names leaves the storage as it is fetched, so that no copy lies about that forgetting would miss.
"""

import shutil
import tempfile

from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from outreach.filings import jobs
from outreach.filings.documents.files import file_name
from outreach.filings.models import Filing
from outreach.staff.jobs import queue
from outreach.staff.roles import OFFICE, READERS, StaffRequest, may


@require_POST
@may(*READERS)
def rows(request: StaffRequest, pk: int) -> HttpResponseBase:
    return _asked_for(request, pk, with_contact_data=False)


@require_POST
@may(*OFFICE)
def contacts(request: StaffRequest, pk: int) -> HttpResponseBase:
    return _asked_for(request, pk, with_contact_data=True)


@require_GET
@may(*READERS)
def rows_file(request: HttpRequest, pk: int) -> FileResponse:
    return _fetched(pk, with_contact_data=False)


@require_GET
@may(*OFFICE)
def contacts_file(request: HttpRequest, pk: int) -> FileResponse:
    return _fetched(pk, with_contact_data=True)


def _asked_for(request: StaffRequest, pk: int, *, with_contact_data: bool) -> HttpResponseBase:
    filing = get_object_or_404(Filing, pk=pk)
    wanted = {"filing_id": filing.pk, "with_contact_data": with_contact_data}
    asked = queue("filings.rows", wanted, by=request.user, at=timezone.now())
    return redirect("job", asked.pk)


def _fetched(pk: int, *, with_contact_data: bool) -> FileResponse:
    filing = get_object_or_404(Filing, pk=pk)
    stored = jobs.rows_stored_as(filing, with_contact_data=with_contact_data)
    if not default_storage.exists(stored):
        raise Http404(_("It has not been made yet, or was fetched. Ask for it on the page of the filing."))
    copy = tempfile.TemporaryFile()  # noqa: SIM115  # the response closes it
    with default_storage.open(stored) as kept:
        shutil.copyfileobj(kept, copy)
    if with_contact_data:
        default_storage.delete(stored)
    copy.seek(0)
    ending = "-records-with-names.xlsx" if with_contact_data else "-records.xlsx"
    return FileResponse(copy, as_attachment=True, filename=file_name(filing, "xlsx").replace(".xlsx", ending))
