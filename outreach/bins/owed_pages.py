"""Bins that are owed: to whom, since which workshop, by when; and owing one to who went home without."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.bins import eligibility, promising
from outreach.bins.booking_follower import OWED_WITHIN
from outreach.bins.form_page import FormPage
from outreach.bins.forms import DayField
from outreach.bins.models import BinModel, Promise
from outreach.bins.refusals import succeeds
from outreach.households.models import Household
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops.models import Workshop


class OweForm(forms.Form):
    """By when the household gets its bin, and which, where that is known."""

    due_on = DayField(gettext_lazy("They get it by"))
    bin_model = forms.ModelChoiceField(
        BinModel.objects.all(),
        label=gettext_lazy("Bin model"),
        required=False,
        empty_label=gettext_lazy("any"),
    )


@require_GET
@may(*WITH_CONTACT_DATA)
def owed_bins(request: StaffRequest) -> HttpResponse:
    """Everyone who is owed a bin, the first due first."""
    context = {
        "owed": Promise.objects.owed().with_details(),
        "today": timezone.localdate(),
        "may_let_go": request.user.role in OFFICE,
    }
    return render(request, "bins/owed.html", context)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def owe_bin(request: StaffRequest, household_id: int, workshop_id: int) -> HttpResponse:
    """Someone went home from a workshop without a bin; or its day is changed."""
    household = get_object_or_404(Household, pk=household_id)
    workshop = get_object_or_404(Workshop.objects.with_names(), pk=workshop_id)
    today = timezone.localdate()
    known = Promise.objects.owed().counted_for(household.counted_under).first()
    first = {"due_on": today + OWED_WITHIN} if known is None else _as_it_stands(known)
    form = OweForm(request.POST or None, initial=first)
    if form.is_valid() and succeeds(form, lambda: _owe(request, household, workshop, form)):
        messages.success(request, _("Written down: the household is owed a bin."))
        return redirect("owed_bins")
    page = FormPage(
        heading=_("Owe a bin to %(household)s") % {"household": household},
        button=_("Write it down"),
        back_url=reverse("workshop", args=[workshop.pk]),
        about=eligibility.standing_of(household, today).sentence,
    )
    return page.answer(request, form)


def _as_it_stands(known: Promise) -> dict[str, object]:
    return {"due_on": known.promised_for_on, "bin_model": known.bin_model_id}


def _owe(request: StaffRequest, household: Household, workshop: Workshop, form: OweForm) -> None:
    promising.owe(
        household=household, workshop=workshop, by=request.user, at=timezone.now(), **form.cleaned_data
    )


@require_POST
@may(*OFFICE)
def owed_let_go(request: StaffRequest, promise_id: int) -> HttpResponse:
    """They do not want it any more."""
    promising.lapse(promise=get_object_or_404(Promise, pk=promise_id), at=timezone.now())
    messages.success(request, _("The bin is not owed any more."))
    return redirect("owed_bins")
