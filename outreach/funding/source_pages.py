"""Funding: every source with what is left, and one of them with its budget, bins, costs and hours."""

from datetime import date

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.funding import budgeting, figures, panels
from outreach.funding.form_page import FormPage
from outreach.funding.forms import BudgetLineForm, PeriodForm
from outreach.funding.models import BudgetLine, Cost, FundingSource, GrantPeriod, HourRate, Hours
from outreach.staff import audit
from outreach.staff.refusals import succeeds
from outreach.staff.roles import OFFICE, READERS, TRAIL_READERS, StaffRequest, may

LATEST = 10


@require_GET
@may(*READERS)
def funding_sources(request: StaffRequest) -> HttpResponse:
    """Each source with its amount, what was spent until today, what is left, and its match."""
    sources = FundingSource.objects.with_areas()
    context = {
        "moneys": figures.money_of_all(sources, None, timezone.localdate()),
        "today": timezone.localdate(),
        "may_write": request.user.role in OFFICE,
        "has_rate": HourRate.objects.exists(),
    }
    return render(request, "funding/funding_sources.html", context)


@require_GET
@may(*READERS)
def funding_budget(request: StaffRequest, source_id: int) -> HttpResponse:
    """One source between two days: budget against spent, its bins, costs and hours."""
    source = get_object_or_404(FundingSource.objects.with_areas(), pk=source_id)
    form = PeriodForm(request.GET or None)
    first_day, last_day = _days(form)
    money = figures.money_of(source, first_day, last_day)
    costs = Cost.objects.standing().paid_by(source).spent_between(first_day or date.min, last_day)
    hours = Hours.objects.standing().matching(source).given_between(first_day or date.min, last_day)
    sees_trail = request.user.role in TRAIL_READERS
    context = {
        "source": source,
        "money": money,
        "period": form,
        "costs": costs.with_details()[:LATEST],
        "hours": hours.with_details()[:LATEST],
        "grant_periods": GrantPeriod.objects.of(source),
        "panels": panels.shown_for(source, first_day, last_day),
        "may_write": request.user.role in OFFICE,
        "sees_trail": sees_trail,
        "entries": audit.entries_of(source, *(one.line for one in money.lines)) if sees_trail else [],
    }
    return render(request, "funding/budget.html", context)


def _days(form: PeriodForm) -> tuple[date | None, date]:
    """The days that were asked for; else from the beginning until today."""
    asked = form.cleaned_data if form.is_bound and form.is_valid() else {}
    return asked.get("first_day"), asked.get("last_day") or timezone.localdate()


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def budget_line_add(request: HttpRequest, source_id: int) -> HttpResponse:
    source = get_object_or_404(FundingSource, pk=source_id)
    return _line_form(request, BudgetLine(source=source), _("Add a budget line"))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def budget_line(request: HttpRequest, line_id: int) -> HttpResponse:
    known = get_object_or_404(BudgetLine.objects.with_source(), pk=line_id)
    return _line_form(request, known, known.words)


def _line_form(request: HttpRequest, line: BudgetLine, heading: str) -> HttpResponse:
    back_url = reverse("funding_budget", args=[line.source_id])
    source_words = str(line.source)
    form = BudgetLineForm(request.POST or None, instance=line)
    if form.is_valid() and succeeds(form, lambda: budgeting.write_line(line=form.instance)):
        messages.success(request, _("Saved: %(record)s.") % {"record": form.instance.words})
        return redirect(back_url)
    page = FormPage(heading=heading, button=_("Save"), back_url=back_url, trail=((source_words, back_url),))
    return page.answer(request, form)
