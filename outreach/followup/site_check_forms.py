"""What is typed about lists of households to visit, and about what was seen there."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.followup.models import SiteCheck
from outreach.followup.models.site_checks import MOST_VISITS
from outreach.followup.models.weighing import MOST_SEED
from outreach.followup.site_checking import Seen
from outreach.places.models import Jurisdiction

MOST_DRAWN = MOST_VISITS
SEED_HELP = _(
    "A whole number that repeats the same draw. Leave it empty and one is picked by chance; it is kept either way."
)


class ListForm(forms.Form):
    """Name, place, size and seed of a list."""

    name = forms.CharField(label=_("Name"), max_length=80, help_text=_("Such as 'Spring visits 2026'."))
    jurisdiction = forms.ModelChoiceField(
        label=_("Jurisdiction"),
        queryset=Jurisdiction.objects.all(),
        required=False,
        empty_label=_("all of them"),
    )
    size = forms.IntegerField(
        label=_("Households to visit"),
        min_value=1,
        max_value=MOST_VISITS,
        help_text=_("Each jurisdiction and bin family gets its share."),
    )
    seed = forms.IntegerField(
        label=_("Seed"), min_value=0, max_value=MOST_SEED, required=False, help_text=SEED_HELP
    )


class VisitForm(forms.Form):
    """What was seen, when, and by whom."""

    outcome = forms.ChoiceField(
        label=_("What was seen"),
        choices=[one for one in SiteCheck.Outcome.choices if one[0] != SiteCheck.Outcome.TO_VISIT],
        widget=forms.RadioSelect,
    )
    checked_on = forms.DateField(
        label=_("Visited on"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    seen_by = forms.CharField(label=_("Visited by"), max_length=80)
    note = forms.CharField(
        label=_("Note"),
        max_length=300,
        required=False,
        help_text=_("What helps the next visitor. Nothing about the people."),
    )

    def seen(self) -> Seen:
        values = self.cleaned_data
        return Seen(
            outcome=values["outcome"], on=values["checked_on"], by_name=values["seen_by"], note=values["note"]
        )


def initial_of(check: SiteCheck, *, on: date, by_name: str) -> dict[str, Any]:
    """What the form shows: what is recorded, else today and whoever sits here."""
    if check.checked_on is None:
        return {"checked_on": on, "seen_by": by_name}
    return {
        "outcome": check.outcome,
        "checked_on": check.checked_on,
        "seen_by": check.seen_by,
        "note": check.note,
    }
