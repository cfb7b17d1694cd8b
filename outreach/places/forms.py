"""Forms of the Set-up pages. Keys are made from what is typed and checked together with it."""

from collections.abc import Callable
from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.places import landfill_phases
from outreach.places.city_names import city_key
from outreach.places.models import District, Jurisdiction, LandfillProfile, ServedPlace, Venue
from outreach.places.venues import venue_key
from outreach.places.zips import read_zip


class KeyedForm(forms.ModelForm):
    """A form whose model keeps a key of one field; rules that name the key are checked as well."""

    keys: ClassVar[dict[str, tuple[str, Callable[[Any], str]]]] = {}

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        for key, (source, make) in self.keys.items():
            setattr(self.instance, key, make(cleaned.get(source)))
        return cleaned

    def _get_validation_exclusions(self) -> set[str]:
        # Django leaves out every rule that names a field which the form does not show.
        # The method is Django's own and private, so the stubs do not know it.
        left_out: set[str] = super()._get_validation_exclusions()  # type: ignore[misc]
        return left_out - set(self.keys)


def date_field(**options: Any) -> forms.DateField:
    return forms.DateField(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **options)


class JurisdictionForm(forms.ModelForm):
    class Meta:
        model = Jurisdiction
        fields: ClassVar = [
            "name",
            "landfill_profile",
            "landfilled_percent",
            "yard_trimmings_banned",
            "fiscal_year_starts_month",
            "report_due_days",
            "mass_unit",
        ]
        help_texts: ClassVar = {
            "landfilled_percent": _("Of what goes into the trash; the rest is burned or sorted."),
            "landfill_profile": _("Where its trash goes, and how that landfill catches gas."),
        }


class ServedPlaceForm(KeyedForm):
    keys: ClassVar = {"city_key": ("city_name", city_key)}
    zip_code = forms.CharField(label=_("ZIP"), max_length=10, help_text=_("Five digits: 00417."))

    class Meta:
        model = ServedPlace
        fields: ClassVar = ["jurisdiction", "city_name", "zip_code"]

    def clean_zip_code(self) -> str:
        zip_code = read_zip(self.cleaned_data["zip_code"])
        if not zip_code:
            raise forms.ValidationError(_("A ZIP has five digits, its leading zero too."))
        return zip_code


class DistrictForm(forms.ModelForm):
    from_on = date_field(label=_("Valid from"))
    until_on = date_field(
        label=_("Valid until"),
        required=False,
        help_text=_("The day on which it is no longer valid. Leave empty while it is."),
    )

    class Meta:
        model = District
        fields: ClassVar = ["jurisdiction", "name", "from_on", "until_on"]


class VenueForm(KeyedForm):
    keys: ClassVar = {"name_key": ("name", venue_key)}

    class Meta:
        model = Venue
        fields: ClassVar = ["name", "street", "jurisdiction"]
        help_texts: ClassVar = {"name": _("As it stands on sign-in sheets.")}


class LandfillProfileForm(forms.ModelForm):
    own_phases = forms.CharField(
        label=_("Own table of gas collection"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_(
            "Only with 'a table of our own'. One line for each stretch of the waste's age in years: "
            "'0 to 2: 0 %', '2 to 5: 50 %', '5 on: 75 %'."
        ),
    )

    class Meta:
        model = LandfillProfile
        fields: ClassVar = ["name", "climate", "collection", "own_phases", "oxidation_percent"]

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.initial["own_phases"] = landfill_phases.in_lines(self.instance.own_phases)

    def clean_own_phases(self) -> list[landfill_phases.Phase]:
        if self.cleaned_data.get("collection") != LandfillProfile.Collection.OWN:
            return []
        return landfill_phases.read_phases(self.cleaned_data["own_phases"])
