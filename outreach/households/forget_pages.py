"""Forgetting a person or a household, holding it back, and the list of what was destroyed."""

from typing import Any

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.households import forgetting, holding_back
from outreach.households.forgotten_models import ForgettingHold, Forgotten
from outreach.households.models import Household, Participant
from outreach.households.pages import ROWS_A_PAGE
from outreach.staff.roles import OFFICE, TRAIL_READERS, StaffRequest, may

get_or_post = require_http_methods(["GET", "HEAD", "POST"])


class ForgetForm(forms.Form):
    """That someone means it."""

    understood = forms.BooleanField(label=gettext_lazy("I know that this cannot be undone"))


class HoldForm(forms.Form):
    """Why the records are still needed, and until when."""

    reason = forms.CharField(
        label=gettext_lazy("Why are these records still needed?"),
        max_length=300,
        help_text=gettext_lazy("Such as an audit of a grant. No names."),
    )
    until_on = forms.DateField(
        label=gettext_lazy("Until"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )


@get_or_post
@may(*OFFICE)
def household_forget(request: StaffRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(Household.objects.with_people(), pk=pk)
    return _confirm(request, record, record.counted_under.people, {"household": record})


@get_or_post
@may(*OFFICE)
def participant_forget(request: StaffRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(Participant.objects.with_links(), pk=pk)
    return _confirm(request, person.household, [person], {"participant": person})


def _confirm(
    request: StaffRequest, household: Household, people: list[Participant], whom: dict[str, Any]
) -> HttpResponse:
    form = ForgetForm(request.POST or None)
    if form.is_valid():
        try:
            forgetting.forget(**whom, why=Forgotten.Schedule.ASKED, by=request.user, at=timezone.now())
            messages.success(request, _("Forgotten. What was destroyed is on the list; the counts stay."))
            return redirect("forgotten")
        except ValidationError as problem:
            form.add_error(None, problem.messages)
    held = forgetting.hold_on(people, [household], timezone.now())
    context = {"form": form, "household": household, "people": people, "held": held, **whom}
    return render(request, "households/forget.html", context)


@get_or_post
@may(*OFFICE)
def household_hold(request: StaffRequest, pk: int) -> HttpResponse:
    household = get_object_or_404(Household, pk=pk)
    form = HoldForm(request.POST or None)
    if form.is_valid():
        try:
            holding_back.hold(household=household, by=request.user, at=timezone.now(), **form.cleaned_data)
            messages.success(request, _("Held. Nobody here is forgotten until that day is over."))
            return redirect("household_forget", pk)
        except ValidationError as problem:
            form.add_error(None, problem)
    return render(request, "households/hold.html", {"form": form, "household": household})


@require_POST
@may(*OFFICE)
def hold_release(request: StaffRequest, pk: int) -> HttpResponse:
    kept = get_object_or_404(ForgettingHold, pk=pk)
    try:
        holding_back.release(kept=kept, by=request.user, at=timezone.now())
        messages.success(request, _("The hold is released."))
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    return redirect("household_forget", kept.household_id)


@require_GET
@may(*TRAIL_READERS)
def forgotten(request: StaffRequest) -> HttpResponse:
    page = Paginator(Forgotten.objects.newest_first(), ROWS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "households/forgotten.html", {"page": page})
