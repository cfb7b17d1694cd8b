"""Forms of funding sources."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.funding.models import FundingSource

DOLLAR = 100


class DollarsField(forms.DecimalField):
    """Dollars and cents as typed, whole cents as kept."""

    def __init__(self, **options: Any) -> None:
        super().__init__(min_value=0, max_value=1_000_000_000, decimal_places=2, **options)

    def clean(self, value: Any) -> int:
        return int((super().clean(value) or 0) * DOLLAR)

    def prepare_value(self, value: Any) -> Any:
        return f"{value / DOLLAR:.2f}" if isinstance(value, int) else value


def _day(label: Any, **options: Any) -> forms.DateField:
    widget = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    return forms.DateField(label=label, widget=widget, **options)


class FundingSourceForm(forms.ModelForm):
    """A grant or budget."""

    starts_on = _day(_("From"))
    ends_on = _day(_("Until, inclusive"), required=False, help_text=_("Leave empty where it goes on."))
    amount_cents = DollarsField(label=_("Amount, $"), required=False)

    class Meta:
        model = FundingSource
        fields: ClassVar = [
            "name", "funder", "grant_number", "starts_on", "ends_on", "amount_cents", "may_serve", "note",
        ]  # fmt: skip
        widgets: ClassVar = {"may_serve": forms.CheckboxSelectMultiple}
        help_texts: ClassVar = {"may_serve": _("None chosen: whoever the programme serves.")}
