"""What is asked before something is printed."""

from django import forms
from django.utils.translation import gettext_lazy as _

from outreach.workshops.papers import labels
from outreach.workshops.sign_up_form import MARK


class FlyerForm(forms.Form):
    """Where the flyer will hang."""

    mark = forms.CharField(
        label=_("Mark of this flyer"),
        max_length=40,
        required=False,
        help_text=_(
            "Where it will hang, in a word: library, market. The list below then says how many it brought."
        ),
    )

    def clean_mark(self) -> str:
        return MARK.sub("", self.cleaned_data["mark"].strip().lower().replace(" ", "-"))


class LabelsForm(forms.Form):
    """The sheet of labels at hand."""

    size = forms.ChoiceField(
        label=_("Size of a label"),
        choices=[(size, f"{size} in") for size in labels.SHEETS],
        required=False,
        help_text=_("As it stands on the box. Print on plain paper first, and hold it against a sheet."),
    )
    used = forms.IntegerField(
        label=_("Labels gone from the first sheet"), min_value=0, required=False, initial=0
    )

    def clean_size(self) -> str:
        return self.cleaned_data["size"] or labels.FIRST

    def clean_used(self) -> int:
        """Of the sheet that was chosen at least one label is left."""
        used = self.cleaned_data["used"] or 0
        sheet = labels.SHEETS.get(self.cleaned_data.get("size", ""))
        if sheet is not None and used >= sheet.count:
            words = _(
                "A sheet of this size has %(count)d labels. Write a number below that, or take a new sheet."
            )
            raise forms.ValidationError(words % {"count": sheet.count})
        return used
