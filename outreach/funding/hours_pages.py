"""Unpaid hours: the list and its table, one entry, adding, correcting, voiding; and their rates."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.funding import giving, tables
from outreach.funding.filters import HoursFilter
from outreach.funding.form_page import FormPage
from outreach.funding.forms import HourRateForm, HoursForm, VoidForm
from outreach.funding.models import HourRate, Hours
from outreach.staff import audit
from outreach.staff.refusals import succeeds
from outreach.staff.roles import OFFICE, READERS, TRAIL_READERS, StaffRequest, may

ROWS_A_PAGE = 50


@require_GET
@may(*READERS)
def hours(request: StaffRequest) -> HttpResponse:
    """All hours, the latest first, narrowed as asked; who gave them only for the office."""
    narrowed = HoursFilter(request.GET or None, queryset=Hours.objects.with_details())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    template = "funding/hours.html#rows" if request.htmx else "funding/hours.html"  # type: ignore[attr-defined]
    context = {"filter": narrowed, "page": page, "may_write": request.user.role in OFFICE}
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


@require_GET
@may(*READERS)
def hours_csv(request: StaffRequest) -> HttpResponse:
    """The same rows as a table to keep, one line for each share; names only for the office."""
    narrowed = HoursFilter(request.GET or None, queryset=Hours.objects.with_details())
    sees_names = request.user.role in OFFICE
    heading = (*tables.HOURS, "volunteer") if sees_names else tables.HOURS
    return tables.answer("hours.csv", heading, tables.hours_rows(narrowed.qs, with_names=sees_names))


@require_GET
@may(*READERS)
def hours_given(request: StaffRequest, hours_id: int) -> HttpResponse:
    shown = get_object_or_404(Hours.objects.with_details(), pk=hours_id)
    sees_trail = request.user.role in TRAIL_READERS
    shares = list(shown.shares.all())
    context = {
        "hours": shown,
        "shares": shares,
        "may_write": request.user.role in OFFICE,
        "sees_trail": sees_trail,
        "entries": audit.entries_of(shown, *shares) if sees_trail else [],
    }
    return render(request, "funding/hours_given.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def hours_add(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    form = HoursForm(request.POST or None, initial={"given_on": timezone.localdate(at)})
    if form.is_valid() and succeeds(
        form,
        lambda: giving.record_hours(hours=form.instance, shares=form.shares, by=request.user, at=at),
    ):
        messages.success(request, _("The hours are recorded."))
        return redirect("hours_given", form.instance.pk)
    page = FormPage(
        heading=_("Add hours"),
        button=_("Record the hours"),
        back_url=reverse("hours"),
        trail=((_("Hours"), reverse("hours")),),
        about=_(
            "Unpaid time of one person on one day. Hours are match for one source, or parted; never twice."
        ),
    )
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def hours_edit(request: StaffRequest, hours_id: int) -> HttpResponse:
    shown = get_object_or_404(Hours.objects.standing().with_details(), pk=hours_id)
    url = reverse("hours_given", args=[hours_id])
    known = {share.source: share.minutes for share in shown.shares.all()}
    form = HoursForm(request.POST or None, instance=shown, known=known)
    if form.is_valid() and succeeds(
        form,
        lambda: giving.correct_hours(
            hours=form.instance, shares=form.shares, reason=form.cleaned_data["reason"], at=timezone.now()
        ),
    ):
        messages.success(request, _("The hours are corrected."))
        return redirect(url)
    page = FormPage(heading=_("Correct these hours"), button=_("Save"), back_url=url, trail=_above(url))
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def hours_void(request: StaffRequest, hours_id: int) -> HttpResponse:
    shown = get_object_or_404(Hours, pk=hours_id)
    url = reverse("hours_given", args=[hours_id])
    form = VoidForm(request.POST or None)
    if form.is_valid() and succeeds(
        form,
        lambda: giving.void_hours(
            hours=shown, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now()
        ),
    ):
        messages.success(request, _("The hours are voided; they count nowhere any more."))
        return redirect(url)
    page = FormPage(
        heading=_("Void these hours"),
        button=_("Void the hours"),
        back_url=url,
        trail=_above(url),
        about=_("They stay on record with the reason."),
        is_undoing=True,
    )
    return page.answer(request, form)


def _above(url: str) -> tuple[tuple[str, str], ...]:
    return ((_("Hours"), reverse("hours")), (_("One entry"), url))


@require_GET
@may(*READERS)
def hour_rates(request: StaffRequest) -> HttpResponse:
    context = {"rates": HourRate.objects.all(), "may_write": request.user.role in OFFICE}
    return render(request, "funding/rates.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def hour_rate_add(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    form = HourRateForm(request.POST or None, initial={"looked_up_on": timezone.localdate(at)})
    if form.is_valid() and succeeds(
        form, lambda: giving.add_rate(rate=form.instance, by=request.user, at=at)
    ):
        messages.success(request, _("The rate is added. Hours on record keep theirs."))
        return redirect("hour_rates")
    page = FormPage(
        heading=_("Add a rate"),
        button=_("Add the rate"),
        back_url=reverse("hour_rates"),
        trail=((_("Hours"), reverse("hours")), (_("Rates"), reverse("hour_rates"))),
        about=_("A rate is never changed: another one takes over from its day on."),
    )
    return page.answer(request, form)
