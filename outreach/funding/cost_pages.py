"""Costs: the list and its table, one of them, adding, correcting, voiding."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.funding import spending, tables
from outreach.funding.filters import CostFilter
from outreach.funding.form_page import FormPage
from outreach.funding.forms import CostForm, VoidForm
from outreach.funding.models import Cost
from outreach.staff import audit
from outreach.staff.refusals import succeeds
from outreach.staff.roles import OFFICE, READERS, TRAIL_READERS, StaffRequest, may

ROWS_A_PAGE = 50


@require_GET
@may(*READERS)
def costs(request: StaffRequest) -> HttpResponse:
    """All costs, the latest first, narrowed as asked."""
    narrowed = CostFilter(request.GET or None, queryset=Cost.objects.with_details())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    template = "funding/costs.html#rows" if request.htmx else "funding/costs.html"  # type: ignore[attr-defined]
    context = {"filter": narrowed, "page": page, "may_write": request.user.role in OFFICE}
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


@require_GET
@may(*READERS)
def costs_csv(request: StaffRequest) -> HttpResponse:
    """The same rows as a table to keep, one line for each share."""
    narrowed = CostFilter(request.GET or None, queryset=Cost.objects.with_details())
    return tables.answer("costs.csv", tables.COSTS, tables.cost_rows(narrowed.qs))


@require_GET
@may(*READERS)
def cost(request: StaffRequest, cost_id: int) -> HttpResponse:
    shown = get_object_or_404(Cost.objects.with_details(), pk=cost_id)
    sees_trail = request.user.role in TRAIL_READERS
    shares = list(shown.shares.all())
    context = {
        "cost": shown,
        "shares": shares,
        "may_write": request.user.role in OFFICE,
        "sees_trail": sees_trail,
        "entries": audit.entries_of(shown, *shares) if sees_trail else [],
    }
    return render(request, "funding/cost.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def cost_add(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    form = CostForm(request.POST or None, initial={"spent_on": timezone.localdate(at)})
    if form.is_valid() and succeeds(
        form,
        lambda: spending.record_cost(cost=form.instance, shares=form.shares, by=request.user, at=at),
    ):
        messages.success(request, _("Recorded: %(cost)s.") % {"cost": form.instance})
        return redirect("cost", form.instance.pk)
    page = FormPage(
        heading=_("Add a cost"),
        button=_("Record the cost"),
        back_url=reverse("costs"),
        trail=((_("Costs"), reverse("costs")),),
        about=_(
            "Bins are charged by their orders; enter here what an order does not hold, such as delivery."
        ),
    )
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def cost_edit(request: StaffRequest, cost_id: int) -> HttpResponse:
    shown = get_object_or_404(Cost.objects.standing().with_details(), pk=cost_id)
    words, url = str(shown), reverse("cost", args=[cost_id])
    known = {share.budget_line: share.cents for share in shown.shares.all()}
    form = CostForm(request.POST or None, instance=shown, known=known)
    if form.is_valid() and succeeds(
        form,
        lambda: spending.correct_cost(
            cost=form.instance, shares=form.shares, reason=form.cleaned_data["reason"], at=timezone.now()
        ),
    ):
        messages.success(request, _("The cost is corrected."))
        return redirect(url)
    page = FormPage(heading=_("Correct this cost"), button=_("Save"), back_url=url, trail=((words, url),))
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def cost_void(request: StaffRequest, cost_id: int) -> HttpResponse:
    shown = get_object_or_404(Cost, pk=cost_id)
    url = reverse("cost", args=[cost_id])
    form = VoidForm(request.POST or None)
    if form.is_valid() and succeeds(
        form,
        lambda: spending.void_cost(
            cost=shown, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now()
        ),
    ):
        messages.success(request, _("The cost is voided; it counts nowhere any more."))
        return redirect(url)
    page = FormPage(
        heading=_("Void this cost"),
        button=_("Void the cost"),
        back_url=url,
        trail=((str(shown), url),),
        about=_("It stays on record with the reason."),
        is_undoing=True,
    )
    return page.answer(request, form)
