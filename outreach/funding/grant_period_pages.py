"""The periods about which a funding source wants reports: adding, correcting and removing them."""

from typing import ClassVar

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_POST

from outreach.funding.form_page import FormPage
from outreach.funding.models import FundingSource, GrantPeriod
from outreach.places.forms import date_field
from outreach.staff.refusals import succeeds
from outreach.staff.roles import OFFICE, StaffRequest, may


class GrantPeriodForm(forms.ModelForm):
    """The days about which a source wants a report, and when."""

    first_day_on = date_field(label=gettext_lazy("First day"))
    last_day_on = date_field(label=gettext_lazy("Last day"))
    report_due_on = date_field(
        label=gettext_lazy("Report due on"), help_text=gettext_lazy("As the grant agreement says.")
    )

    class Meta:
        model = GrantPeriod
        fields: ClassVar = ["first_day_on", "last_day_on", "report_due_on"]


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def grant_period_add(request: HttpRequest, source_id: int) -> HttpResponse:
    source = get_object_or_404(FundingSource, pk=source_id)
    return _form(request, GrantPeriod(source=source), _("Add a period to report about"))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def grant_period(request: HttpRequest, period_id: int) -> HttpResponse:
    known = get_object_or_404(GrantPeriod.objects.with_source(), pk=period_id)
    return _form(request, known, _("Correct the period"))


@require_POST
@may(*OFFICE)
def grant_period_remove(request: StaffRequest, period_id: int) -> HttpResponse:
    """Take away a period entered by mistake; filings of its days stand as they are."""
    known = get_object_or_404(GrantPeriod, pk=period_id)
    known.delete()
    messages.success(request, _("The period is gone. What was filed stands."))
    return redirect("funding_budget", known.source_id)


def _form(request: HttpRequest, known: GrantPeriod, heading: str) -> HttpResponse:
    back_url = reverse("funding_budget", args=[known.source_id])
    form = GrantPeriodForm(request.POST or None, instance=known)
    if form.is_valid() and succeeds(form, form.save):
        messages.success(request, _("Saved: %(record)s.") % {"record": form.instance})
        return redirect(back_url)
    page = FormPage(
        heading=heading, button=_("Save"), back_url=back_url, trail=((str(known.source), back_url),)
    )
    return page.answer(request, form)
