"""The list of workshops, the page of one, and what becomes of it."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.staff import audit, shortcuts
from outreach.staff.roles import EVERYONE, OFFICE, TRAIL_READERS, WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops import holding, planning, roster
from outreach.workshops.filters import WorkshopFilter
from outreach.workshops.forms import HeadcountForm, ReasonForm, WorkshopForm
from outreach.workshops.models import Registration, Workshop

ROWS_A_PAGE = 50
STEPS: dict[str, Callable[..., Workshop]] = {"held": holding.mark_held, "close": holding.close}
STEPS_WITH_REASON: dict[str, Callable[..., Workshop]] = {
    "reopen": holding.reopen,
    "cancel": holding.cancel,
}


@require_GET
@may(*EVERYONE)
def workshops(request: StaffRequest) -> HttpResponse:
    """All workshops, the latest first, narrowed as asked."""
    narrowed = WorkshopFilter(request.GET or None, queryset=Workshop.objects.with_people())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    template = "workshops/list.html#rows" if request.htmx else "workshops/list.html"  # type: ignore[attr-defined]
    context = {
        "filter": narrowed,
        "page": page,
        "may_add": request.user.role in OFFICE,
        "shortcuts": shortcuts.shown_on("workshops", request.user.role),
    }
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


@require_GET
@may(*EVERYONE)
def workshop(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """One workshop with its roster; names only for those who may see them."""
    shown = get_object_or_404(Workshop.objects.with_people(), pk=workshop_id)
    return render(request, "workshops/workshop.html", _with_roster(request, shown))


def _with_roster(request: StaffRequest, shown: Workshop) -> dict[str, Any]:
    registrations = list(Registration.objects.at(shown).with_people())
    role = request.user.role
    return {
        "workshop": shown,
        "rows": roster.rows_of(one for one in registrations if one.state != Registration.State.CANCELLED),
        "columns": roster.columns(),
        "gone": [one for one in registrations if one.state == Registration.State.CANCELLED],
        "along": sum(one.came_with for one in registrations),
        "outside": sum(one.came and one.is_outside_area for one in registrations),
        "sees_names": role in WITH_CONTACT_DATA,
        "may_change": role in WITH_CONTACT_DATA and not shown.is_settled,
        "may_plan": role in OFFICE,
        "headcount_form": HeadcountForm(initial={"people": shown.headcount_unlisted}),
        "sees_trail": role in TRAIL_READERS,
        "entries": audit.entries_of(shown) if role in TRAIL_READERS else [],
    }


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def workshop_add(request: StaffRequest) -> HttpResponse:
    form = WorkshopForm(request.POST or None)
    if form.is_valid():
        added = planning.add(workshop=form.instance, by=request.user, at=timezone.now())
        messages.success(request, _("The workshop is recorded. Now people can be put on its list."))
        return redirect("workshop", added.pk)
    return render(request, "workshops/form.html", {"form": form}, status=_status_of(form))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def workshop_edit(request: StaffRequest, workshop_id: int) -> HttpResponse:
    shown = get_object_or_404(Workshop.objects.with_people(), pk=workshop_id)
    form = WorkshopForm(request.POST or None, instance=shown)
    if form.is_valid():
        try:
            planning.correct(workshop=form.instance, by=request.user, at=timezone.now())
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            messages.success(request, _("The workshop is corrected."))
            return redirect("workshop", workshop_id)
    context = {"form": form, "workshop": Workshop.objects.with_people().get(pk=workshop_id)}
    return render(request, "workshops/form.html", context, status=_status_of(form))


@require_POST
@may(*OFFICE)
def workshop_step(request: StaffRequest, workshop_id: int, step: str) -> HttpResponse:
    """Mark a workshop held, or close its list."""
    shown = get_object_or_404(Workshop, pk=workshop_id)
    try:
        now = STEPS[step](workshop=shown, by=request.user, at=timezone.now())
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    else:
        messages.success(request, _("The workshop is %(state)s.") % {"state": now.get_state_display()})
    return redirect("workshop", workshop_id)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def workshop_reason(request: StaffRequest, workshop_id: int, step: str) -> HttpResponse:
    """Cancel a workshop or open it again, and say why."""
    shown = get_object_or_404(Workshop.objects.with_people(), pk=workshop_id)
    form = ReasonForm(request.POST or None)
    if form.is_valid():
        act, reason = STEPS_WITH_REASON[step], form.cleaned_data["reason"]
        try:
            now = act(workshop=shown, reason=reason, by=request.user, at=timezone.now())
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            messages.success(request, _("The workshop is %(state)s.") % {"state": now.get_state_display()})
            return redirect("workshop", workshop_id)
    context = {"form": form, "workshop": shown, "step": step}
    return render(request, "workshops/reason.html", context, status=_status_of(form))


@require_POST
@may(*WITH_CONTACT_DATA)
def workshop_headcount(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """Write down how many people were there who are on no list."""
    shown = get_object_or_404(Workshop, pk=workshop_id)
    form = HeadcountForm(request.POST)
    try:
        if form.is_valid():
            people = form.cleaned_data["people"]
            holding.count_unlisted(workshop=shown, people=people, by=request.user, at=timezone.now())
            messages.success(request, _("The headcount is written down."))
        else:
            messages.error(request, _("People not on the list: give a whole number from 0."))
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    return redirect("workshop", workshop_id)


def _status_of(form: Any) -> int:
    return 422 if form.is_bound and form.errors else 200
