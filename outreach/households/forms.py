"""Forms of the household pages: what is typed is read as paperwork is, and shown as read."""

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.households.emails import read_email
from outreach.households.models import Household, Participant
from outreach.households.names import PersonName, read_name
from outreach.households.phones import ReadPhone, read_phone
from outreach.households.recording import HouseholdFacts, PersonFacts
from outreach.places.addresses import ReadAddress, read_address
from outreach.places.models import District
from outreach.places.serving import PlacesList, ResolvedPlace

LANGUAGES = [("", _("not known")), ("en", _("English")), ("es", _("Spanish"))]


def date_field(**options: Any) -> forms.DateField:
    return forms.DateField(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"), **options)


class AddressForm(forms.Form):
    """Where a household lives, since when, and what is known of it."""

    street = forms.CharField(label=_("Street address"), max_length=200, help_text=_("12 Alder Street"))
    unit = forms.CharField(
        label=_("Unit"), max_length=40, required=False, help_text=_("Apt 4, Unit 4 and #4 are one door.")
    )
    city = forms.CharField(label=_("City"), max_length=120, required=False)
    zip_code = forms.CharField(
        label=_("ZIP"),
        max_length=10,
        required=False,
        help_text=_("Where city and ZIP differ, the ZIP decides."),
    )
    began_on = date_field(label=_("Known since"))
    district = forms.ModelChoiceField(District.objects.select_related("jurisdiction"), required=False)
    composting_before = forms.ChoiceField(
        label=_("Composting before the bin"), choices=Household.Composting.choices, initial="not_said"
    )
    language = forms.ChoiceField(label=_("Language"), choices=LANGUAGES, required=False)
    note = forms.CharField(
        label=_("Note"), widget=forms.Textarea(attrs={"rows": 3}), required=False, help_text=_("No names.")
    )

    address: ReadAddress
    place: ResolvedPlace

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        self.address = read_address(
            cleaned.get("street"),
            unit=cleaned.get("unit", ""),
            city=cleaned.get("city", ""),
            zip_code=cleaned.get("zip_code", ""),
        )
        if cleaned.get("street") and self.address.problem:
            self.add_error("street", self.address.problem)
        self.place = PlacesList.load().resolve(self.address.city_name, self.address.zip_code)
        district = cleaned.get("district")
        if district and self.place.jurisdiction_id not in (None, district.jurisdiction_id):
            self.add_error("district", _("This district is in another jurisdiction than the address."))
        return cleaned

    def clean_began_on(self) -> date:
        began_on: date = self.cleaned_data["began_on"]
        return began_on

    def facts(self) -> HouseholdFacts:
        names = ("district", "language", "composting_before", "note")
        return HouseholdFacts(**{name: self.cleaned_data[name] for name in names})

    @staticmethod
    def initial_of(household: Household) -> dict[str, Any]:
        same = ("street", "unit", "zip_code", "began_on", "district", "composting_before", "language", "note")
        return {"city": household.city_name} | {name: getattr(household, name) for name in same}


class PersonForm(forms.Form):
    """One person of a household, and how to reach them."""

    name = forms.CharField(label=_("Name"), max_length=200)
    email = forms.CharField(label=_("E-mail"), max_length=200, required=False)
    phone = forms.CharField(label=_("Phone"), max_length=40, required=False)
    language = forms.ChoiceField(label=_("Language"), choices=LANGUAGES, required=False)
    first_seen_on = date_field(label=_("First seen on"))
    note = forms.CharField(label=_("Note"), widget=forms.Textarea(attrs={"rows": 3}), required=False)

    read_name: PersonName = PersonName("", "")
    read_phone: ReadPhone = ReadPhone("", "")

    def clean_name(self) -> str:
        text: str = self.cleaned_data["name"]
        self.read_name = read_name(text)
        if text and not self.read_name.name_key:
            raise forms.ValidationError(_("That is no name. Write it as 'Ada Ueda' or 'Ueda, Ada'."))
        return text

    def clean_email(self) -> str:
        text: str = self.cleaned_data["email"]
        email = read_email(text)
        if text.strip() and not email:
            raise forms.ValidationError(_("That is no e-mail address. Write it as someone@example.org."))
        return email

    def clean_phone(self) -> str:
        text: str = self.cleaned_data["phone"]
        self.read_phone = read_phone(text)
        if text.strip() and not self.read_phone.phone_key:
            raise forms.ValidationError(_("That is no phone number. Give seven or ten digits."))
        return text

    def person(self) -> PersonFacts:
        return PersonFacts(
            name=self.read_name,
            email=self.cleaned_data["email"],
            phone=self.read_phone,
            language=self.cleaned_data["language"],
            note=self.cleaned_data["note"],
        )

    @staticmethod
    def initial_of(participant: Participant) -> dict[str, Any]:
        same = ("email", "phone", "language", "first_seen_on", "note")
        return {"name": participant.full_name} | {name: getattr(participant, name) for name in same}


class NewHouseholdForm(AddressForm):
    """A household and, where one is known, its first person."""

    name = forms.CharField(label=_("Who signed up"), max_length=200, required=False)
    email = forms.CharField(label=_("Their e-mail"), max_length=200, required=False)
    phone = forms.CharField(label=_("Their phone"), max_length=40, required=False)
    field_order = ("name", "email", "phone", "street", "unit", "city", "zip_code", "began_on")

    read_name: PersonName = PersonName("", "")
    read_phone: ReadPhone = ReadPhone("", "")

    clean_name = PersonForm.clean_name
    clean_email = PersonForm.clean_email
    clean_phone = PersonForm.clean_phone

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        if not cleaned.get("name") and (cleaned.get("email") or cleaned.get("phone")):
            self.add_error("name", _("Whose e-mail or phone is it? Give the name as well."))
        return cleaned

    def person(self) -> PersonFacts | None:
        if not self.read_name.name_key:
            return None
        return PersonFacts(name=self.read_name, email=self.cleaned_data["email"], phone=self.read_phone)


class CorrectionForm(AddressForm):
    """The same as an address, with the reason, which is kept in the trail."""

    reason = forms.CharField(
        label=_("Why"), max_length=300, required=False, help_text=_("Kept with the change. No names.")
    )


class MergeForm(forms.Form):
    """Why two records are one household."""

    reason = forms.CharField(
        label=_("Why are they one household?"), max_length=300, help_text=_("Kept with the merge. No names.")
    )
