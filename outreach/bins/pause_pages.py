"""A household stops or pauses, as someone outside the waves knows: recording it, ending it, taking it back."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from outreach.bins import pausing
from outreach.bins.form_page import FormPage
from outreach.bins.forms import DayField
from outreach.bins.models import Pause
from outreach.bins.pausing import Act
from outreach.bins.refusals import attempt, status_of, succeeds
from outreach.households.models import Household
from outreach.staff.roles import OFFICE, StaffRequest, may


class PauseForm(forms.Form):
    """From when the bin is not in use, until when, and how that is known."""

    from_on = DayField(gettext_lazy("Not in use from"))
    until_on = DayField(
        gettext_lazy("In use again from"), required=False, help_text=gettext_lazy("Empty: they stopped.")
    )
    known_from = forms.ChoiceField(label=gettext_lazy("Known from"), choices=Pause.KnownFrom.choices)
    note = forms.CharField(label=gettext_lazy("Note"), max_length=300, required=False)


class ResumeForm(forms.Form):
    """From when the bin is in use again."""

    on = DayField(gettext_lazy("In use again from"))


def _act(request: StaffRequest) -> Act:
    return Act(by=request.user, at=timezone.now())


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def pause_add(request: StaffRequest, household_id: int) -> HttpResponse:
    household = get_object_or_404(Household, pk=household_id)
    initial: dict[str, Any] = {"from_on": timezone.localdate(), **request.GET.dict()}
    form = PauseForm(request.POST or None, initial=initial)
    if form.is_valid():
        made = attempt(
            form, lambda: pausing.pause(household=household, **form.cleaned_data, act=_act(request))
        )
        if made is not None:
            messages.success(request, _("Recorded. The days without use leave the figures."))
            return redirect("household", household_id)
    url = reverse("household", args=[household_id])
    page = FormPage(
        heading=_("They stopped or paused"),
        button=_("Record it"),
        back_url=url,
        trail=((_("Households"), reverse("households")), (str(household), url)),
        about=_(
            "What you know from a talk, a visit or an order. What they answer to our questions is entered as an answer."
        ),
        is_elsewhere=True,
    )
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def pause(request: StaffRequest, pause_id: int) -> HttpResponse:
    """One pause: say from when the bin is in use again, or take it back."""
    shown = get_object_or_404(Pause.objects.standing().select_related("household"), pk=pause_id)
    is_taken_back = request.POST.get("step") == "withdraw"
    sent = request.POST if request.method == "POST" and not is_taken_back else None
    form = ResumeForm(sent, initial={"on": shown.until_on or timezone.localdate()})
    if is_taken_back:
        pausing.withdraw(pause=shown, act=_act(request))
        messages.success(request, _("Taken back. Those days count as days of use again."))
        return redirect("household", shown.household_id)
    if form.is_valid() and succeeds(form, lambda: pausing.resume(pause=shown, on=form.cleaned_data["on"])):
        messages.success(request, _("The bin is in use again from that day."))
        return redirect("household", shown.household_id)
    context = {"pause": shown, "form": form}
    return render(request, "bins/pause.html", context, status=status_of(form))
