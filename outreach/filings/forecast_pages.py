"""The page on which the fiscal year is looked at ahead: a form, a fan, its table, and what it rests on."""

from typing import Any

from django import forms
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET

from outreach.filings.forecast_shown import ShownForecast
from outreach.filings.gathering import Scope
from outreach.filings.looking_ahead import MOST_BINS, MOST_WORKSHOPS, NothingToGoOn, look_ahead
from outreach.places.models import Jurisdiction
from outreach.staff.roles import READERS, StaffRequest, may


class ForecastForm(forms.Form):
    """How many more workshops, with how many bins each."""

    workshops = forms.IntegerField(
        label=gettext_lazy("Workshops still to be held"), min_value=0, max_value=MOST_WORKSHOPS, initial=4
    )
    bins = forms.IntegerField(
        label=gettext_lazy("Bins at each"), min_value=0, max_value=MOST_BINS, initial=25
    )
    jurisdiction = forms.ModelChoiceField(
        label=gettext_lazy("Jurisdiction"),
        queryset=Jurisdiction.objects.all(),
        required=False,
        empty_label=gettext_lazy("All jurisdictions"),
    )


@require_GET
@may(*READERS)
def year_ahead(request: StaffRequest) -> HttpResponse:
    """The fiscal year if so many more workshops are held."""
    asked = "workshops" in request.GET
    form = ForecastForm(request.GET if asked else None)
    context: dict[str, Any] = {"form": form}
    if asked and form.is_valid():
        scope = Scope(jurisdiction=form.cleaned_data["jurisdiction"])
        plan = {name: form.cleaned_data[name] for name in ("workshops", "bins")}
        try:
            ahead = look_ahead(scope=scope, on=timezone.localdate(), **plan)
        except NothingToGoOn as reason:
            context["refusal"] = _("There is nothing to look ahead from: %(reason)s") % {"reason": reason}
        else:
            context["forecast"] = ShownForecast(ahead=ahead, scope=scope, **plan)
    status = 422 if asked and form.errors else 200
    return render(request, "filings/forecast.html", context, status=status)
