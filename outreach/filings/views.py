"""Filings on screen: the list, a draft that is computed as it is opened, and what was submitted."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from diversion.errors import DiversionError
from outreach.filings import answering, composing, computing, shown, since, submitting, verifying
from outreach.filings.filters import FilingFilter
from outreach.filings.forms import AnswersForm, BeginForm, RestateForm, answers_posted
from outreach.filings.frozen_inputs import FactorsChanged
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing, FilingDraft
from outreach.filings.periods import NotAPeriod, Period
from outreach.staff import shortcuts
from outreach.staff.roles import OFFICE, READERS, TRAIL_READERS, WHOLE_TRAIL_READERS, StaffRequest, may

FILINGS_ON_A_PAGE = 50


@require_GET
@may(*READERS)
def filings(request: StaffRequest) -> HttpResponse:
    narrowed = FilingFilter(request.GET, Filing.objects.with_names().without_contents())
    context = {
        "filter": narrowed,
        "page_obj": Paginator(narrowed.qs, FILINGS_ON_A_PAGE).get_page(request.GET.get("page")),
        "drafts": FilingDraft.objects.select_related("jurisdiction", "begun_by"),
        "may_file": request.user.role in OFFICE,
        "reads_trail": request.user.role in WHOLE_TRAIL_READERS,
        "shortcuts": shortcuts.shown_on("filings", request.user.role),
    }
    return render(request, "filings/list.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def begin(request: StaffRequest) -> HttpResponse:
    chosen = {name: request.GET[name] for name in ("jurisdiction", "period") if name in request.GET}
    form = BeginForm(request.POST or None, on=timezone.localdate(), initial=chosen)
    if request.method == "POST" and form.is_valid():
        draft = submitting.begin(
            jurisdiction=form.cleaned_data["jurisdiction"],
            period=form.cleaned_data["period"],
            choices=form.choices,
            by=request.user,
            at=timezone.now(),
        )
        return redirect(draft)
    return render(request, "filings/begin.html", {"form": form})


@require_GET
@may(*OFFICE)
def draft(request: StaffRequest, pk: int) -> HttpResponse:
    draft = get_object_or_404(FilingDraft.objects.select_related("jurisdiction"), pk=pk)
    scope = Scope(jurisdiction=draft.jurisdiction)
    if (period := _period_of(request, draft, scope)) is None:
        return redirect("filings")
    filed = Filing.objects.about(draft.jurisdiction, period).standing().first()
    occasion = composing.compose(
        period,
        scope=scope,
        cut_off=timezone.localdate(),
        choices=draft.settings,
        replaces=filed,
    )
    submitting.keep_findings(draft, occasion.findings)
    context = {
        "draft": draft,
        "report": shown.report_for_page(composing.report_of(occasion)),
        "on_working_page": shown.WORKING_SECTIONS,
        "filed": filed,
        "restate_form": RestateForm(),
        "answers_form": AnswersForm(
            findings=answering.demanding(occasion.findings),
            kept=draft.answers or (filed.kept_answers if filed else {}),
        ),
    }
    return render(request, "filings/draft.html", context)


def _period_of(request: StaffRequest, draft: FilingDraft, scope: Scope) -> Period | None:
    """None, said why, where fiscal years were moved since so that they have no such quarter in common."""
    try:
        return computing.read_period(draft.period, scope=scope)
    except NotAPeriod as refusal:
        messages.error(request, str(refusal))
        return None


@require_POST
@may(*OFFICE)
def submit(request: StaffRequest, pk: int) -> HttpResponse:
    draft = get_object_or_404(FilingDraft.objects.select_related("jurisdiction"), pk=pk)
    scope = Scope(jurisdiction=draft.jurisdiction)
    if (period := _period_of(request, draft, scope)) is None:
        return redirect("filings")
    filed = Filing.objects.about(draft.jurisdiction, period).standing().first()
    submitting.keep_answers(draft, answers_posted(request.POST))
    form = RestateForm(request.POST)
    if filed and not form.is_valid():
        messages.error(request, _("This period is already filed. Give the reasons for filing it again."))
        return redirect(draft)
    try:
        filing = submitting.submit(
            period=period,
            scope=scope,
            choices=draft.settings,
            act=submitting.Act(
                by=request.user,
                at=timezone.now(),
                cut_off=timezone.localdate(),
                restates=filed,
                reasons=form.cleaned_data["reasons"] if filed else "",
                answers={code: answering.Written(**one) for code, one in draft.answers.items()},
            ),
        )
    except (ValidationError, submitting.RecordsMoved) as refusal:
        messages.error(request, " ".join(getattr(refusal, "messages", [str(refusal)])))
        return redirect(draft)
    messages.success(request, _("Filed. Its figures and what they came from are kept and cannot be changed."))
    return redirect(filing)


@require_POST
@may(*OFFICE)
def discard(request: StaffRequest, pk: int) -> HttpResponseRedirect:
    get_object_or_404(FilingDraft, pk=pk).delete()
    messages.success(request, _("The draft is gone. Nothing was filed."))
    return redirect("filings")


@require_GET
@may(*READERS)
def filing(request: StaffRequest, pk: int) -> HttpResponse:
    filing = get_object_or_404(Filing.objects.with_names(), pk=pk)
    context = {
        "filing": filing,
        "report": shown.report_for_page(shown.frozen(filing)),
        "on_working_page": shown.WORKING_SECTIONS,
        "may_file": request.user.role in OFFICE,
        "sees_paperwork": request.user.role in TRAIL_READERS,
        "entered_since": () if filing.is_superseded else since.entered_since(filing),
        "sees_contact_data": request.user.role in OFFICE,
    }
    return render(request, "filings/filing.html", context)


@require_GET
@may(*READERS)
def working(request: StaffRequest, pk: int) -> HttpResponse:
    filing = get_object_or_404(Filing.objects.with_names(), pk=pk)
    context = {
        "filing": filing,
        "report": shown.report_for_page(shown.frozen(filing)),
        "steps": shown.steps_of(filing),
        "on_working_page": shown.WORKING_SECTIONS,
        "page_obj": shown.lines_page(filing, request.GET.get("page")),
    }
    return render(request, "filings/working.html", context)


@require_GET
@may(*READERS)
def verify(request: StaffRequest, pk: int) -> HttpResponse:
    """Compute the filing again while the reader waits, and say equal, or where not."""
    filing = get_object_or_404(Filing.objects.with_names(), pk=pk)
    try:
        context = {"filing": filing, "differences": verifying.verify(filing)}
    except FactorsChanged as refusal:
        context = {"filing": filing, "refusal": str(refusal)}
    return render(request, "filings/verify.html", context)


@require_GET
@may(*OFFICE)
def today(request: StaffRequest, pk: int) -> HttpResponse:
    """What filing it again today would print, beside what was filed."""
    filing = get_object_or_404(Filing.objects.with_names(), pk=pk)
    context: dict[str, object] = {"filing": filing}
    try:
        context["held"] = held = since.held_against_today(filing, on=timezone.localdate())
        context["has_moved"] = any(one.has_moved for one in held)
    except DiversionError as refusal:
        context["refusal"] = str(refusal)
    return render(request, "filings/today.html", context)
