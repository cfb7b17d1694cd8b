"""The documents of a filing, made from its frozen report whenever they are asked for."""

import io

from django.http import FileResponse, HttpRequest, JsonResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from outreach.filings import shown
from outreach.filings.documents.files import WRITERS, file_name
from outreach.filings.models import Filing
from outreach.staff.roles import READERS, may


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


@require_GET
@may(*READERS)
def figures(request: HttpRequest, pk: int) -> JsonResponse:
    filing = get_object_or_404(Filing, pk=pk)
    response = JsonResponse(filing.report)
    response["Content-Disposition"] = f'attachment; filename="{file_name(filing, "json")}"'
    return response
