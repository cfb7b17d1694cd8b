"""The pages and PDFs that leave the office: the whole report and the council page, in either language."""

import io

from django.conf import settings
from django.http import FileResponse, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import translation
from django.views.decorators.http import require_GET

from outreach.filings import shown
from outreach.filings.documents.council import council_page, unit_of
from outreach.filings.documents.files import file_name
from outreach.filings.documents.pdf import Edition, write_pdf
from outreach.filings.documents.wording import FILED_IN, in_language
from outreach.filings.masses import SHORT_TON, TONNE, MassUnit
from outreach.filings.models import Filing
from outreach.filings.report import Report
from outreach.post.links import public_url
from outreach.post.residents_language import languages
from outreach.staff.roles import READERS, StaffRequest, may

UNITS = {"tonnes": TONNE, "short-tons": SHORT_TON}


@require_GET
@may(*READERS)
def report_page(request: StaffRequest, pk: int) -> HttpResponse:
    """The whole report by itself, as it may be published."""
    filing, language = _asked(request, pk)
    report = in_language(shown.frozen(filing), language)
    return _page(request, filing, report, language)


@require_GET
@may(*READERS)
def report_pdf(request: StaffRequest, pk: int) -> FileResponse:
    filing, language = _asked(request, pk)
    report = in_language(shown.frozen(filing), language)
    return _pdf(report, language, page=reverse("filing_report", args=[pk]), name=file_name(filing, "pdf"))


@require_GET
@may(*READERS)
def council(request: StaffRequest, pk: int) -> HttpResponse:
    """One page for a council."""
    filing, language = _asked(request, pk)
    frozen = shown.frozen(filing)
    with translation.override(language):
        return _page(request, filing, council_page(frozen, mass=_unit(request, frozen)), language)


@require_GET
@may(*READERS)
def council_pdf(request: StaffRequest, pk: int) -> FileResponse:
    filing, language = _asked(request, pk)
    frozen = shown.frozen(filing)
    with translation.override(language):
        report = council_page(frozen, mass=_unit(request, frozen))
    name = file_name(filing, "pdf").replace(".pdf", "-council.pdf")
    return _pdf(report, language, page=reverse("filing_council", args=[pk]), name=name)


def _asked(request: StaffRequest, pk: int) -> tuple[Filing, str]:
    """The filing, and the language that the address names or else the one it was filed in."""
    wanted = request.GET.get("language", "")
    language = wanted if wanted in dict(settings.LANGUAGES) else FILED_IN
    return get_object_or_404(Filing.objects.with_names(), pk=pk), language


def _unit(request: StaffRequest, frozen: Report) -> MassUnit:
    return UNITS.get(request.GET.get("unit", ""), unit_of(frozen))


def _page(request: StaffRequest, filing: Filing, report: Report, language: str) -> HttpResponse:
    # Also what the charts say is in that language.
    with translation.override(language):
        context = {
            "filing": filing,
            "report": shown.report_for_page(report),
            "languages": languages(),
            "left_out": (),
            "is_translated": language != FILED_IN,
            "has_units": request.resolver_match is not None
            and request.resolver_match.view_name == "filing_council",
            "asked_unit": request.GET.get("unit", ""),
        }
        answer = render(request, "filings/paper.html", context)
    answer.headers["Content-Language"] = language
    return answer


def _pdf(report: Report, language: str, *, page: str, name: str) -> FileResponse:
    target = io.BytesIO()
    address = f"{public_url(page)}?language={language}"
    write_pdf(report, target, Edition(language=language, address=address))
    target.seek(0)
    ending = "" if language == FILED_IN else f"-{language}"
    return FileResponse(target, as_attachment=True, filename=name.replace(".pdf", f"{ending}.pdf"))
