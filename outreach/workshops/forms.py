"""What people type about a workshop and the people who come to it."""

from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext_lazy as _

from outreach.places.models import Venue
from outreach.workshops.arriving import TypedPerson
from outreach.workshops.models import MOST_BEYOND, Workshop
from outreach.workshops.planning import PLANNED_FIELDS
from outreach.workshops.postponing import NewDate

NEW_DATE = ("held_on", "starts_at_time", "ends_at_time")


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
            "sign_up_closes_at": forms.DateTimeInput(
                attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"
            ),
            "confirm_by_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "bring": forms.Textarea(attrs={"rows": 2}),
            "bring_es": forms.Textarea(attrs={"rows": 2}),
            "accessibility": forms.Textarea(attrs={"rows": 2}),
            "accessibility_es": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {
            "jurisdiction": _("The one whose filings count this workshop."),
            "seats": _("People, not households. Whoever comes after that is put on standby."),
            "bins_planned": _("How many bins you mean to bring; stock is checked against it."),
            "is_public": _("It stands on the public list, and households sign themselves up."),
            "sign_up_closes_at": _("Leave it empty to take sign-ups until the workshop starts."),
            "confirm_by_on": _(
                "Places that are not confirmed by that day go to people on standby. Leave it empty to ask "
                "nobody to confirm."
            ),
            "bring": _("Residents read it, in the language of the page; so with accessibility."),
            "accessibility": _("Steps, toilets, parking, hearing loop, how to get there without a car."),
        }


class ReasonForm(forms.Form):
    """Why something is called off or opened again."""

    reason = forms.CharField(
        label=_("Reason"),
        max_length=300,
        help_text=_("It is kept with the workshop and in its trail of changes."),
    )


class JoinForm(forms.Form):
    """How many people come, once two bookings are one."""

    people = forms.IntegerField(
        label=_("People in all"),
        min_value=1,
        max_value=1 + MOST_BEYOND,
        help_text=_("Everyone of the household who comes, each counted once."),
    )


class PostponeForm(forms.Form):
    """When and where a workshop takes place instead."""

    held_on = forms.DateField(
        label=_("New date"), widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )
    starts_at_time = forms.TimeField(
        label=_("Starts"), widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"), required=False
    )
    ends_at_time = forms.TimeField(
        label=_("Ends"), widget=forms.TimeInput(attrs={"type": "time"}, format="%H:%M"), required=False
    )
    venue = forms.ModelChoiceField(Venue.objects.all(), label=_("Venue"))
    reason = forms.CharField(
        label=_("Reason"),
        max_length=300,
        help_text=_("It is kept with the workshop. People are told the new day and place, not the reason."),
    )

    @classmethod
    def of(cls, workshop: Workshop) -> dict[str, Any]:
        """The form as it stands before anything is changed."""
        return {name: getattr(workshop, name) for name in NEW_DATE} | {"venue": workshop.venue_id}

    def new_date(self) -> NewDate:
        return NewDate(**{name: self.cleaned_data[name] for name in (*NEW_DATE, "venue")})


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
