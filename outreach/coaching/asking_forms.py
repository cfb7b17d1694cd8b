"""What residents type: which problems they have, and how to reach them if they want to be called."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.coaching.models import LocalRules
from outreach.coaching.problems import Diagnosis, diagnose, problems
from outreach.places.zips import read_zip

MOST_WORDS = 1500


def symptoms_field(*, required: bool, label: Any) -> forms.MultipleChoiceField:
    """Check what one sees."""
    return forms.MultipleChoiceField(
        label=label,
        required=required,
        # Names are read again for each reader: a page is asked for in one language or the other.
        choices=lambda: [(key, str(one.name)) for key, one in problems().items()],
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one.")},
    )


class DiagnosisForm(forms.Form):
    """What someone notices at the bin, and where they live, for the local rules."""

    symptom = symptoms_field(required=True, label=_("What do you notice?"))
    town = forms.ModelChoiceField(
        LocalRules.objects.none(), label=_("Where do you live?"), required=False, empty_label=_("elsewhere")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        towns = self.fields["town"]
        towns.queryset = LocalRules.objects.by_name()  # type: ignore[attr-defined]
        towns.label_from_instance = lambda rules: rules.jurisdiction.name  # type: ignore[attr-defined]
        if not towns.queryset.exists():  # type: ignore[attr-defined]
            del self.fields["town"]

    def diagnosis(self) -> Diagnosis:
        """What a valid form points to."""
        return diagnose(self.cleaned_data["symptom"])

    def rules(self) -> LocalRules | None:
        """The local rules of where they live, if someone looked them up."""
        rules: LocalRules | None = self.cleaned_data.get("town")
        return rules


class AskForm(forms.Form):
    """A request for help from the public page."""

    symptom = symptoms_field(required=False, label=_("What do you notice?"))
    own_words = forms.CharField(
        label=_("In your own words"),
        max_length=MOST_WORDS,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("What you see, smell, and have tried."),
    )
    written_name = forms.CharField(
        label=_("Your name"),
        max_length=200,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _("Give a name to ask for.")},
    )
    phone = forms.CharField(
        label=_("Phone"),
        max_length=40,
        required=False,
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "tel"}),
    )
    email = forms.EmailField(
        label=_("E-mail"),
        required=False,
        widget=forms.EmailInput(attrs={"autocomplete": "email"}),
        error_messages={"invalid": _("Check the e-mail address: name@example.org.")},
    )
    street = forms.CharField(
        label=_("Street address"),
        max_length=200,
        required=False,
        help_text=_("If we should come and look."),
        widget=forms.TextInput(attrs={"autocomplete": "street-address"}),
    )
    zip_code = forms.CharField(
        label=_("ZIP"),
        max_length=10,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "postal-code", "inputmode": "numeric"}),
    )
    # People do not see it; what fills it in is a script.
    fax = forms.CharField(required=False, label=_("Leave this empty"))

    def clean_zip_code(self) -> str:
        given = str(self.cleaned_data["zip_code"]).strip()
        read = read_zip(given)
        if given and not read:
            raise forms.ValidationError(_("A ZIP has five digits."))
        return read

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if not said.get("symptom") and not said.get("own_words") and "own_words" not in self.errors:
            words = _("Choose what you notice, or write it in your own words.")
            self.add_error("symptom", forms.ValidationError(words, code="required"))
        if not any(said.get(name) or name in self.errors for name in ("phone", "email")):
            words = _("Give a phone or an e-mail address, so that we can answer.")
            self.add_error("phone", forms.ValidationError(words, code="required"))
        return said

    @property
    def is_from_a_script(self) -> bool:
        """Something filled in the field that people do not see."""
        return bool(self.cleaned_data.get("fax"))
