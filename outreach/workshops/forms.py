"""What people type about a workshop and the people who come to it."""

from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from outreach.workshops.arriving import TypedPerson
from outreach.workshops.models import Workshop
from outreach.workshops.planning import PLANNED_FIELDS


class WorkshopForm(forms.ModelForm):
    """Date, place and size of one workshop."""

    language = forms.ChoiceField(label=_("Language"), choices=settings.LANGUAGES)

    class Meta:
        model = Workshop
        fields = PLANNED_FIELDS
        widgets = {
            "held_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "starts_at_time": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "ends_at_time": forms.TimeInput(attrs={"type": "time"}, format="%H:%M"),
            "note": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "jurisdiction": _("The one whose filings count this workshop."),
            "seats": _("People, not households. Whoever comes after that is put on standby."),
            "bins_planned": _("How many bins you mean to bring; stock is checked against it."),
        }


class ReasonForm(forms.Form):
    """Why something is called off or opened again."""

    reason = forms.CharField(
        label=_("Reason"),
        max_length=300,
        help_text=_("It is kept with the workshop and in its trail of changes."),
    )


class HeadcountForm(forms.Form):
    """People in the room who are on no list."""

    people = forms.IntegerField(
        label=_("People not on the list"), min_value=0, max_value=100_000, help_text=_("Counted in the room.")
    )


class PersonForm(forms.Form):
    """A person who is not recorded yet, with the address they live at."""

    full_name = forms.CharField(label=_("Name"), max_length=200)
    street = forms.CharField(
        label=_("Street address"), max_length=200, help_text=_("House number and street.")
    )
    unit = forms.CharField(label=_("Unit"), max_length=40, required=False)
    city = forms.CharField(label=_("City"), max_length=120, required=False)
    zip_code = forms.CharField(label=_("ZIP"), max_length=10, required=False)
    email = forms.EmailField(label=_("E-mail"), required=False)
    phone = forms.CharField(label=_("Phone"), max_length=40, required=False)

    def typed(self) -> TypedPerson:
        values: dict[str, Any] = self.cleaned_data
        return TypedPerson(**values)
