"""What a household fills in to sign up: no account, no more than the workshop and the rule need."""

import re
import uuid
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import get_language_info, gettext_lazy, pgettext_lazy
from django.utils.translation import gettext as _

from outreach.households import consent_words
from outreach.households.models import Household
from outreach.households.names import name_key
from outreach.households.phones import read_phone
from outreach.places.addresses import ReadAddress, read_address
from outreach.places.serving import PlacesList
from outreach.workshops.models import MOST_BEYOND, Booking
from outreach.workshops.signing_up import SignUp

# A name is not a place for links: it is written into mails.
NO_NAME = re.compile(r"https?:|www\.|[@/<>\\]", re.IGNORECASE)
LONGEST_NAME = 80
MARK = re.compile(r"[^A-Za-z0-9_-]")


def language_choices() -> list[tuple[str, str]]:
    """Each language in its own words."""
    return [(code, get_language_info(code)["name_local"].capitalize()) for code, _name in settings.LANGUAGES]


class ReachForm(forms.Form):
    """How many come, how to reach them, and what they need: what may be changed afterwards too."""

    people = forms.IntegerField(
        label=gettext_lazy("How many people come, with you?"),
        min_value=1,
        max_value=1 + MOST_BEYOND,
        initial=1,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
    )
    reach_by = forms.ChoiceField(
        label=gettext_lazy("How may we reach you about this workshop?"),
        widget=forms.RadioSelect,
        choices=Booking.ReachBy.choices,
        initial=Booking.ReachBy.EMAIL,
        help_text=gettext_lazy("You do not need e-mail. We call you, or send a letter to your address."),
    )
    email = forms.EmailField(
        label=gettext_lazy("E-mail"),
        required=False,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
    )
    phone = forms.CharField(
        label=gettext_lazy("Phone"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "tel"}),
    )
    language = forms.ChoiceField(
        label=gettext_lazy("Which language should we use?"),
        widget=forms.RadioSelect,
        choices=language_choices,
    )
    needs = forms.CharField(
        label=gettext_lazy("What would help you take part?"),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy(
            "For example a seat near the front, an interpreter, a step-free way in. Only what we should know."
        ),
    )
    wants_bin = forms.BooleanField(label=gettext_lazy("We would like a bin"), required=False, initial=True)
    consents_to_follow_up = forms.BooleanField(
        label=consent_words.LABEL,
        required=False,
        help_text=gettext_lazy("Three or four short questions, a few times. You can stop that any time."),
    )

    def clean_phone(self) -> str:
        phone = self.cleaned_data["phone"].strip()
        if phone and not read_phone(phone).phone_key:
            raise ValidationError(_("This is not a phone number. Write it with its area code."))
        return phone

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        by = cleaned.get("reach_by")
        if by == Booking.ReachBy.EMAIL and not cleaned.get("email") and "email" not in self.errors:
            self.add_error("email", _("Give the e-mail address, or choose another way to be reached."))
        if by == Booking.ReachBy.PHONE and not cleaned.get("phone") and "phone" not in self.errors:
            self.add_error("phone", _("Give the phone number, or choose another way to be reached."))
        return cleaned

    def said(self) -> dict[str, Any]:
        """What was said of reaching them, by field of the booking."""
        return {name: value for name, value in self.cleaned_data.items() if name in SAID}


class SignUpForm(ReachForm):
    """Everything asked when signing up."""

    full_name = forms.CharField(
        label=gettext_lazy("Your name"),
        max_length=LONGEST_NAME,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )
    others = forms.CharField(
        label=gettext_lazy("Names of the others"),
        max_length=600,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text=gettext_lazy("One on each line. Leave it empty if you would rather give only the number."),
    )
    street = forms.CharField(
        label=gettext_lazy("Street address"),
        max_length=200,
        help_text=gettext_lazy("House number and street. A bin goes to a household, so we ask where it is."),
        widget=forms.TextInput(attrs={"autocomplete": "address-line1"}),
    )
    unit = forms.CharField(
        label=gettext_lazy("Unit or apartment"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "address-line2"}),
    )
    city = forms.CharField(
        label=gettext_lazy("City"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "address-level2"}),
    )
    zip_code = forms.CharField(
        label=gettext_lazy("ZIP code"),
        max_length=10,
        widget=forms.TextInput(attrs={"autocomplete": "postal-code", "inputmode": "numeric"}),
    )
    dwelling = forms.ChoiceField(
        label=gettext_lazy("Where do you live?"), choices=Booking.Dwelling.choices, required=False
    )
    ground = forms.ChoiceField(
        label=gettext_lazy("What would a bin stand on?"), choices=Booking.Ground.choices, required=False
    )
    composting_before = forms.ChoiceField(
        label=gettext_lazy("Have you composted before?"),
        choices=[
            (Household.Composting.NOT_SAID, pgettext_lazy("composted before", "rather not say")),
            (Household.Composting.NEW, gettext_lazy("no, this is new to us")),
            (Household.Composting.PRIOR, gettext_lazy("yes, we have")),
        ],
        required=False,
    )
    food_before = forms.ChoiceField(
        label=gettext_lazy("Where do your food scraps go now?"),
        choices=Booking.WentTo.choices,
        required=False,
    )
    yard_before = forms.ChoiceField(
        label=gettext_lazy("Where do your yard trimmings go now?"),
        choices=Booking.WentTo.choices,
        required=False,
    )
    heard = forms.ChoiceField(
        label=gettext_lazy("How did you hear of it?"), choices=Booking.Heard.choices, required=False
    )
    flyer_mark = forms.CharField(widget=forms.HiddenInput, required=False, max_length=40)
    form_key = forms.UUIDField(widget=forms.HiddenInput)
    # A person never sees this; whoever fills it in is a script.
    website = forms.CharField(
        label=gettext_lazy("Leave this empty"),
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "tabindex": "-1"}),
    )

    def clean_full_name(self) -> str:
        return _read_name(self.cleaned_data["full_name"])

    def clean_others(self) -> list[str]:
        return [_read_name(line) for line in self.cleaned_data["others"].splitlines() if line.strip()]

    def clean_flyer_mark(self) -> str:
        return MARK.sub("", self.cleaned_data["flyer_mark"])

    def clean_composting_before(self) -> str:
        return self.cleaned_data["composting_before"] or Household.Composting.NOT_SAID

    def clean_website(self) -> str:
        if self.cleaned_data["website"]:
            raise ValidationError(_("Leave this field empty: it is there to catch scripts."))
        return ""

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean()
        named = 1 + len(cleaned.get("others") or [])
        if cleaned.get("people") and named > cleaned["people"]:
            words = _("You named %(named)d people with yourself. Give at least that number.")
            self.add_error("people", words % {"named": named})
        if "street" in cleaned and "zip_code" in cleaned and self.address().problem:
            self.add_error("street", self.address().problem)
        return cleaned

    def address(self) -> ReadAddress:
        said = self.cleaned_data
        return read_address(
            said["street"], unit=said.get("unit", ""), city=said.get("city", ""), zip_code=said["zip_code"]
        )

    def asked(self) -> SignUp:
        """The sign-up as the action takes it. The address is compared with the places served only."""
        said, address = self.cleaned_data, self.address()
        return SignUp(
            form_key=said["form_key"],
            address=address,
            place=PlacesList.load().resolve(address.city_name, address.zip_code),
            names=(said["full_name"], *said["others"]),
            people=said["people"],
            said=self.said(),
        )


SAID = {
    "email",
    "phone",
    "reach_by",
    "language",
    "needs",
    "wants_bin",
    "consents_to_follow_up",
    "dwelling",
    "ground",
    "composting_before",
    "food_before",
    "yard_before",
    "heard",
    "flyer_mark",
}


def fresh_key() -> uuid.UUID:
    return uuid.uuid4()


def _read_name(text: str) -> str:
    name = " ".join(text.split())
    if NO_NAME.search(name) or not name_key(name) or len(name) > LONGEST_NAME:
        raise ValidationError(_("Give a name in letters, without links or addresses."))
    return name
