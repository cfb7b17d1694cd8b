"""What becomes of a handout: taken back, replaced, voided, corrected; and a household that moves out."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from outreach.bins import handing_out, moving_out
from outreach.bins.form_page import FormPage
from outreach.bins.forms import ReasonForm
from outreach.bins.handout_forms import HandoutDetailsForm, MoveOutForm, ReplaceForm, TakeBackForm
from outreach.bins.models import Handout
from outreach.bins.refusals import attempt, succeeds
from outreach.households.models import Household
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, may


def _shown(handout_id: int) -> Handout:
    return get_object_or_404(Handout.objects.with_details(), pk=handout_id)


def _page(handout: Handout, heading: str, button: str, **more: Any) -> FormPage:
    url = reverse("handout", args=[handout.pk])
    return FormPage(
        heading=heading,
        button=button,
        back_url=url,
        trail=((_("Handouts"), reverse("handouts")), (str(handout.bin_model), url)),
        **more,
    )


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"by": request.user, "at": timezone.now()}


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def handout_take_back(request: HttpRequest, handout_id: int) -> HttpResponse:
    shown = _shown(handout_id)
    form = TakeBackForm(request.POST or None, initial={"taken_back_on": timezone.localdate()})
    if form.is_valid() and succeeds(
        form, lambda: handing_out.take_back(handout=shown, **form.cleaned_data, **_who(request))
    ):
        messages.success(request, _("The bin is back; its use has ended on that day."))
        return redirect("handout", handout_id)
    return _page(shown, _("The bin came back"), _("Take it back")).answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def handout_replace(request: HttpRequest, handout_id: int) -> HttpResponse:
    shown = _shown(handout_id)
    initial = {"replaced_on": timezone.localdate(), "bin_model": shown.bin_model_id}
    form = ReplaceForm(request.POST or None, initial=initial)
    if form.is_valid():
        new = attempt(form, lambda: handing_out.replace(handout=shown, **form.cleaned_data, **_who(request)))
        if new is not None:
            messages.success(request, _("Replaced. No further place in the rule was used."))
            return redirect("handout", new.pk)
    about = _("Under warranty or in a recall. The new one points at this one.")
    return _page(shown, _("Replace this bin"), _("Hand out the replacement"), about=about).answer(
        request, form
    )


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def handout_void(request: HttpRequest, handout_id: int) -> HttpResponse:
    shown = _shown(handout_id)
    form = ReasonForm(request.POST or None)
    if form.is_valid() and succeeds(
        form,
        lambda: handing_out.void(handout=shown, reason=form.cleaned_data["reason"], **_who(request)),
    ):
        messages.success(
            request, _("Voided: the place in the rule is free and the bin is in the ledger again.")
        )
        return redirect("handout", handout_id)
    about = _("Only for what never happened. A bin that came back is taken back instead.")
    page = _page(shown, _("Void this handout"), _("Void it"), about=about, is_undoing=True)
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def handout_correct(request: HttpRequest, handout_id: int) -> HttpResponse:
    """Lot, co-pay and note; day, model and household are corrected by voiding and handing out again."""
    shown = _shown(handout_id)
    form = HandoutDetailsForm(request.POST or None, instance=shown)
    if form.is_valid():
        form.instance.save(update_fields=["lot", "copay_cents", "note"])
        messages.success(request, _("The handout is corrected."))
        return redirect("handout", handout_id)
    about = _("Was the day, the model or the household wrong? Void this handout and record the right one.")
    return _page(shown, _("Correct this handout"), _("Save"), about=about).answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def move_out(request: HttpRequest, household_id: int) -> HttpResponse:
    """A household moved out: its record ends, and says what became of the bin."""
    household = get_object_or_404(Household, pk=household_id)
    url = reverse("household", args=[household_id])
    form = MoveOutForm(request.POST or None, household=household, initial={"on": timezone.localdate()})
    if form.is_valid() and succeeds(
        form, lambda: moving_out.move_out(household=household, **form.cleaned_data, **_who(request))
    ):
        messages.success(request, _("They moved out. Whoever lives there next is a new household."))
        return redirect(url)
    page = FormPage(
        heading=_("This household moved out"),
        button=_("End the record here"),
        back_url=url,
        trail=((_("Households"), reverse("households")), (str(household), url)),
        is_elsewhere=True,
        about=_("The record stays, with everything in it; the days with a bin in use end here."),
        is_undoing=True,
    )
    return page.answer(request, form)
