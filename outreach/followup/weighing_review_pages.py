"""Weeks of weigh-ins that a person has to look at before they count, and setting any week aside."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.followup import weighed_weeks
from outreach.followup.models import WeighedWeek
from outreach.followup.weighing_forms import SetAsideForm
from outreach.followup.weighing_pages import act_of
from outreach.staff.refusals import status_of, succeeds
from outreach.staff.roles import OFFICE, StaffRequest, may

ROWS_A_PAGE = 20


@require_GET
@may(*OFFICE)
def weighed_weeks_review(request: StaffRequest) -> HttpResponse:
    """Every week that waits."""
    rows = WeighedWeek.objects.in_review().with_household()
    page = Paginator(rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "followup/weighing/review.html", {"page": page})


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weighed_week_settle(request: StaffRequest, week_id: int) -> HttpResponse:
    """One week: count it as it is, or set it aside and say why."""
    row = get_object_or_404(WeighedWeek.objects.with_household(), pk=week_id)
    counts = request.POST.get("step") == "count"
    form = SetAsideForm(request.POST if request.method == "POST" and not counts else None)
    if counts:
        weighed_weeks.settle(row=row, counts=True, why="", act=act_of(request))
        messages.success(request, _("The week counts."))
        return redirect("weigh_in", row.weigh_in_id)
    if form.is_valid():
        why = form.cleaned_data["why"]
        if succeeds(form, lambda: weighed_weeks.settle(row=row, counts=False, why=why, act=act_of(request))):
            messages.success(request, _("The week is set aside and does not count."))
            return redirect("weigh_in", row.weigh_in_id)
    return render(
        request, "followup/weighing/settle.html", {"row": row, "form": form}, status=status_of(form)
    )
