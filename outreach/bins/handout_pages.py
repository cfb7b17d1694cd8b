"""Handouts: the list, one of them, giving a bin, taking it back, replacing it, voiding what never happened."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins import eligibility, handing_out
from outreach.bins.admission import is_one_of
from outreach.bins.filters import HandoutFilter
from outreach.bins.handout_forms import HandOutForm
from outreach.bins.models import Handout
from outreach.bins.refusals import attempt, status_of
from outreach.bins.roster_column import shelves_with_bins
from outreach.households.models import Household
from outreach.staff import audit
from outreach.staff.roles import EVERYONE, OFFICE, TRAIL_READERS, WITH_CONTACT_DATA, StaffRequest, may

ROWS_A_PAGE = 50


@require_GET
@may(*EVERYONE)
def handouts(request: StaffRequest) -> HttpResponse:
    narrowed = HandoutFilter(request.GET or None, queryset=Handout.objects.with_details())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    sees_names = is_one_of(request, WITH_CONTACT_DATA)
    template = "bins/handouts.html#rows" if request.htmx else "bins/handouts.html"  # type: ignore[attr-defined]
    response = render(request, template, {"filter": narrowed, "page": page, "sees_names": sees_names})
    response["Vary"] = "HX-Request"
    return response


@require_GET
@may(*EVERYONE)
def handout(request: StaffRequest, handout_id: int) -> HttpResponse:
    """One handout: what was given, where it stands under the rule, what became of it."""
    shown = get_object_or_404(Handout.objects.with_details(), pk=handout_id)
    sees_trail = is_one_of(request, TRAIL_READERS)
    context = {
        "handout": shown,
        "movements": shown.movements.with_details(),
        "replaced_by": shown.replaced_by.standing().with_details(),
        "sees_names": is_one_of(request, WITH_CONTACT_DATA),
        "may_change": is_one_of(request, WITH_CONTACT_DATA) and shown.voided_at is None,
        "may_void": is_one_of(request, OFFICE) and shown.voided_at is None,
        "sees_trail": sees_trail,
        "entries": audit.entries_of(shown) if sees_trail else [],
    }
    return render(request, "bins/handout.html", context)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def hand_out(request: StaffRequest, household_id: int) -> HttpResponse:
    """Give a household a bin; also what the roster's small form posts to."""
    household = get_object_or_404(Household, pk=household_id)
    form = _hand_out_form(request, household)
    if form.is_valid():
        given = attempt(form, lambda: _give(request, household, dict(form.cleaned_data)))
        if given is not None:
            messages.success(request, _("Handed out: %(model)s.") % {"model": given.bin_model})
            return _back(given)
    context = {
        "form": form,
        "household": household,
        "standing": eligibility.standing_of(household, timezone.localdate()),
        "may_except": is_one_of(request, OFFICE),
    }
    return render(request, "bins/hand_out.html", context, status=status_of(form))


def _hand_out_form(request: StaffRequest, household: Household) -> HandOutForm:
    initial = {"handed_on": timezone.localdate(), **request.GET.dict()}
    shelves = shelves_with_bins()
    if shelves:
        initial["bin_model"], initial["from_place"] = shelves[0][0].split("-")
    may_except = is_one_of(request, OFFICE)
    data = _with_shelf(request.POST) if request.method == "POST" else None
    return HandOutForm(data, initial=initial, household=household, may_except=may_except)


def _with_shelf(posted: QueryDict) -> QueryDict:
    """The roster's form names bin model and place in one choice, 'model-place'."""
    data = posted.copy()
    model, dash, place = data.get("shelf", "").partition("-")
    if dash:
        data["bin_model"], data["from_place"] = model, place
    return data


def _give(request: StaffRequest, household: Household, facts: dict[str, Any]) -> Handout:
    return handing_out.hand_out(household=household, by=request.user, at=timezone.now(), **facts)


def _back(given: Handout) -> HttpResponse:
    if given.workshop_id is not None:
        return redirect("workshop", given.workshop_id)
    return redirect(reverse("household", args=[given.household_id]))
