"""The page that answers what a district had, in a minute."""

from datetime import date
from typing import Any

from django import forms
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET

from diversion.inputs import Quarter
from outreach.filings import periods
from outreach.filings.district_question import MOST_QUARTERS, BadPeriod, ask
from outreach.filings.district_shown import shown
from outreach.filings.models import Filing
from outreach.places.models import District
from outreach.staff.roles import READERS, StaffRequest, may

QUARTERS_OFFERED = 24


class DistrictForm(forms.Form):
    """Which district, and from which quarter to which."""

    district = forms.ModelChoiceField(
        label=_("District"), queryset=District.objects.select_related("jurisdiction"), empty_label=None
    )
    first = forms.ChoiceField(label=_("From quarter"))
    last = forms.ChoiceField(
        label=_("To quarter"),
        help_text=_("Calendar quarters, as filings are; at most %(most)d.") % {"most": MOST_QUARTERS},
    )

    def __init__(self, *args: Any, on: date, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        latest = periods.last_full_quarter(on)
        offered = [str(periods.shifted(latest, -back)) for back in range(QUARTERS_OFFERED)]
        for name in ("first", "last"):
            self.fields[name].choices = [(one, one) for one in offered]  # type: ignore[attr-defined]
            self.fields[name].initial = offered[0]


@require_GET
@may(*READERS)
def district_figures(request: StaffRequest) -> HttpResponse:
    """A form and, once it is filled in, a paragraph, a table and a chart. Nothing is kept."""
    asked = "district" in request.GET
    on = timezone.localdate()
    form = DistrictForm(request.GET if asked else None, on=on)
    context: dict[str, Any] = {"form": form, "has_districts": District.objects.exists()}
    if asked and form.is_valid():
        district, last = form.cleaned_data["district"], periods.read_quarter(form.cleaned_data["last"])
        first = periods.read_quarter(form.cleaned_data["first"])
        try:
            figures = ask(district=district, first=first, last=last, on=on)
        except BadPeriod as refusal:
            form.add_error("last", str(refusal))
        else:
            context["shown"] = shown(figures)
            context["filed"] = _filed(district, last)
    return render(request, "filings/district.html", context, status=422 if asked and form.errors else 200)


def _filed(district: District, quarter: Quarter) -> Filing | None:
    """The standing filing of the district's jurisdiction, else that of all places together."""
    period = periods.calendar_quarter(quarter)
    own = Filing.objects.about(district.jurisdiction, period).standing().without_contents().first()
    return own or Filing.objects.about(None, period).standing().without_contents().first()
