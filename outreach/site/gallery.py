"""The living gallery: every piece in each state, for people who build pages and for browser tests."""

from datetime import date
from typing import Any

import django_filters
from django import forms
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.safestring import mark_safe
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET

from outreach.places.models import Jurisdiction
from outreach.site.marks import SHAPES
from outreach.staff.roles import EVERYONE, may


class SampleForm(forms.Form):
    """One field of every kind that the pages use."""

    venue = forms.CharField(label=_("Venue"), help_text=_("The name people know it by."))
    held_on = forms.DateField(
        label=_("Date"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    seats = forms.IntegerField(label=_("Places"), min_value=1, help_text=_("People, not households."))
    language = forms.ChoiceField(label=_("Language"), choices=[("en", _("English")), ("es", _("Spanish"))])
    kinds = forms.MultipleChoiceField(
        label=_("What goes in"),
        choices=[("food", _("Food scraps")), ("yard", _("Yard trimmings"))],
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=_("Tick all that apply."),
    )
    still = forms.ChoiceField(
        label=_("Still composting?"),
        choices=[("yes", _("Yes")), ("no", _("No, they stopped"))],
        widget=forms.RadioSelect,
    )
    sheet = forms.FileField(label=_("Sign-in sheet"), help_text=_("XLSX or CSV."), required=False)
    note = forms.CharField(label=_("Note"), widget=forms.Textarea(attrs={"rows": 3}), required=False)
    sure = forms.BooleanField(label=_("I have seen the signed waiver"))


class SampleFilter(django_filters.FilterSet):
    """Filters that change nothing here but look as they do on a page."""

    name = django_filters.CharFilter(label=_("Name has"), lookup_expr="icontains")
    yard_banned = django_filters.BooleanFilter(label=_("Yard trimmings banned"))

    class Meta:
        model = Jurisdiction
        fields: list[str] = []


SAMPLE_ROWS = [
    {
        "held_on": date(2025, month, 12),
        "venue": venue,
        "state": state,
        "people": people,
        "bins": bins,
    }
    for month, venue, state, people, bins in [
        (4, "Alder Creek Library, community room", "held", 38, 25),
        (5, "Quarry Park shelter", "held", 1204, 31),
        (6, "Tannery Hall", "planned", 0, 0),
    ]
]

SAMPLE_ENTRIES: list[dict[str, Any]] = [
    {
        "on": date(2025, 11, 2),
        "words": "Said they still compost",
        "detail": "2 buckets a week",
        "state": "composting",
    },
    {"on": date(2025, 5, 9), "words": "Took a mesh bin home", "state": "handed_out", "url": "#timeline"},
    {"on": date(2025, 5, 9), "words": "Came to the workshop at Quarry Park", "state": "attended"},
    {
        "when": "spring 2025",
        "words": "Signed up on paper",
        "detail": "Sheet 'quarry.xlsx', row 14",
        "state": "booked",
    },
]

SAMPLE_WORKING: list[dict[str, Any]] = [
    {
        "words": "Households with a bin in this quarter",
        "number": "412",
        "unit": "households",
        "url": "#working",
    },
    {
        "words": "What an answering household composts a week",
        "formula": "litres a week × density, weighted by days with a bin",
        "number": "2.9",
        "unit": "kg a week",
        "source": "118 answers in force",
    },
    {
        "words": "Density of food scraps",
        "number": "0.327",
        "unit": "kg/L",
        "source": "geometric mean of two published values",
        "status": "assumed",
    },
    {"words": "Kept out of landfill", "number": "14.2", "unit": "t (tonnes)"},
]

SAMPLE_CHART = mark_safe(
    '<svg viewBox="0 0 480 150" font-size="10.5" role="img" aria-label="Tonnes by quarter, from 6 to 14">'
    '<rect class="chart-bar" x="40" y="78" width="70" height="42"/>'
    '<rect class="chart-bar second" x="150" y="62" width="70" height="58"/>'
    '<rect class="chart-bar third" x="260" y="42" width="70" height="78"/>'
    '<rect class="chart-bar fourth" x="370" y="22" width="70" height="98"/>'
    '<path class="chart-rule" d="M10 120h460"/><path class="chart-interval" d="M405 10v24M401 10h8M401 34h8"/>'
    '<g text-anchor="middle"><text x="75" y="136">Q3</text><text x="185" y="136">Q4</text>'
    '<text x="295" y="136">Q1</text><text x="405" y="136">Q2</text></g>'
    '<g text-anchor="middle"><text class="chart-value" x="75" y="73">6.1 t</text>'
    '<text class="chart-value" x="185" y="57">8.4 t</text>'
    '<text class="chart-value" x="295" y="37">11.3 t</text></g></svg>'
)


@require_GET
@may(*EVERYONE)
def gallery(request: HttpRequest) -> HttpResponse:
    return render(
        request,
        "site/gallery.html",
        {
            "clean_form": SampleForm(),
            "wrong_form": SampleForm({"wrong-held_on": "2025-06-31", "wrong-seats": "0"}, prefix="wrong"),
            "filter": SampleFilter(request.GET, queryset=Jurisdiction.objects.none()),
            "rows": SAMPLE_ROWS,
            "page": Paginator(range(120), 50).page(2),
            "entries": SAMPLE_ENTRIES,
            "working": SAMPLE_WORKING,
            "states": list(SHAPES),
            "steps": ["Choose files", "Check columns", "Look at rows", "Take in"],
            "chart": SAMPLE_CHART,
            "chart_columns": ["Quarter", "Tonnes"],
            "chart_rows": [["2024-Q3", "6.1"], ["2024-Q4", "8.4"], ["2025-Q1", "11.3"], ["2025-Q2", "14.2"]],
        },
    )
