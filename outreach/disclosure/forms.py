"""What people type about records requests, what is withheld, and what went out."""

from typing import Any, ClassVar

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.disclosure import withholding
from outreach.disclosure.models import Handover, RecordsRequest, Withholding
from outreach.disclosure.row_kinds import KINDS


def _day() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class RequestForm(forms.ModelForm):
    """Who asks for what; the office chooses the records and the days."""

    kinds = forms.MultipleChoiceField(
        label=_("Records"),
        choices=[(kind.key, kind.title) for kind in KINDS],
        widget=forms.CheckboxSelectMultiple,
        help_text=_("How the office reads the request. Ask back where it is not clear."),
    )

    class Meta:
        model = RecordsRequest
        fields = ["reference", "requester", "asked_on", "asked_for", "kinds", "first_day_on", "last_day_on"]
        widgets: ClassVar = {"asked_on": _day(), "first_day_on": _day(), "last_day_on": _day()}


class RuleForm(forms.ModelForm):
    """What is withheld of a class of fields, and the law it rests on."""

    class Meta:
        model = Withholding
        fields = ["is_withheld", "reason", "citation"]

    def __init__(self, *args: Any, key: str, **options: Any) -> None:
        super().__init__(*args, **options)
        self.instance.key = key
        if key in (Withholding.PERSON, Withholding.WORDS):
            del self.fields["is_withheld"]
            self.instance.is_withheld = True

    @property
    def says(self) -> dict[str, Any]:
        return {"is_withheld": True, **self.cleaned_data}


class ColumnForm(forms.Form):
    """One more column that the law of the place withholds."""

    key = forms.ChoiceField(label=_("Column"))
    reason = forms.CharField(label=_("Reason"), max_length=300)
    citation = forms.CharField(
        label=_("Law or rule"),
        max_length=300,
        required=False,
        help_text=_("As counsel of the place gives it. Stands beside each field that is blacked out."),
    )

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.fields["key"].choices = list(withholding.columns())  # type: ignore[attr-defined]

    @property
    def says(self) -> dict[str, Any]:
        return {
            "is_withheld": True,
            "reason": self.cleaned_data["reason"],
            "citation": self.cleaned_data["citation"],
        }


class HandoverForm(forms.ModelForm):
    """To whom the files went, how and when."""

    class Meta:
        model = Handover
        fields = ["to_whom", "how", "handed_over_on"]
        widgets: ClassVar = {"handed_over_on": _day()}
