"""The forms of the paperwork pages: choosing files, how a sheet is understood, completing a row."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from outreach.intake.columns import SAYS
from outreach.intake.models import PaperworkFile
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Reading

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MOST_FILES = 60


class ManyFiles(forms.ClearableFileInput):
    allow_multiple_selected = True


class FilesField(forms.FileField):
    """One or several files."""

    widget = ManyFiles(attrs={"accept": ".xlsx,.csv,.txt,.tsv", "multiple": True})

    def clean(self, data: Any, initial: Any = None) -> list[UploadedFile]:
        files = data if isinstance(data, list | tuple) else [data]
        return [super(FilesField, self).clean(file, initial) for file in files or [None]]


class UploadForm(forms.Form):
    # Every form has an attribute `files` with what was sent; a field of that name is kept beside it.
    files = FilesField(  # type: ignore[assignment]
        label=_("Files"),
        help_text=_(
            "Places served, stock lists, sign-in sheets or follow-up answers, as XLSX or CSV; several at once."
        ),
    )


class ReadingForm(forms.Form):
    """How one sheet is understood: its kind, the workshop it is of, and what each column says."""

    kind = forms.ChoiceField(label=_("Kind"), required=False)
    held_on = forms.DateField(label=_("Day of the workshop or list"), required=False, widget=DAY)
    venue = forms.CharField(label=_("Venue"), required=False, max_length=160)
    city = forms.CharField(
        label=_("City of the venue"),
        required=False,
        max_length=120,
        help_text=_("A city of the places served."),
    )

    def __init__(self, *args: Any, reading: Reading, **kwargs: Any) -> None:
        self.reading = reading
        initial = {
            "kind": reading.kind,
            "held_on": reading.occasion.held_on,
            "venue": reading.occasion.venue,
            "city": reading.occasion.city,
        }
        super().__init__(*args, **(kwargs | {"initial": initial}))
        self.fields["kind"].choices = [("", _("not taken in")), *PaperworkFile.Kind.choices]  # type: ignore[attr-defined]
        for column in reading.columns:
            self.fields[f"column{column.index}"] = forms.ChoiceField(
                label=column.heading or _("(no heading)"),
                required=False,
                choices=list(SAYS.items()),
                initial=column.says,
            )

    @property
    def about(self) -> list[forms.BoundField]:
        """The fields that concern the whole sheet."""
        return [self[name] for name in ("kind", "held_on", "venue", "city")]

    def changed_reading(self) -> Reading:
        """The reading as the person left it."""
        given = self.cleaned_data
        says = [given[f"column{column.index}"] for column in self.reading.columns]
        occasion = Occasion(held_on=given["held_on"], venue=given["venue"], city=given["city"])
        return self.reading.changed(kind=given["kind"], says=says, occasion=occasion)


YES_NO = (("", _("not said")), ("no", _("no")), ("yes", _("yes")))
COMPOSTING = (
    ("", _("not said")),
    ("yes", _("yes")),
    ("sometimes", _("on and off")),
    ("stopped", _("stopped")),
)

# What a person may correct of a row, by its kind, in the order of the form.
ROW_FIELDS: dict[str, tuple[str, ...]] = {
    "sign_in": (
        "household_number",
        "name",
        "address",
        "unit",
        "city",
        "zip",
        "email",
        "phone",
        "bin_taken",
        "bin_model",
        "waiver",
        "date",
        "venue",
        "workshop_city",
    ),
    "answers": (
        "household_number",
        "name",
        "address",
        "unit",
        "city",
        "zip",
        "email",
        "date",
        "composting",
        "food",
        "yard",
        "before",
        "problems",
        "wants_help",
        "note",
    ),
    "stock": ("date", "bin_model", "count_in", "count_left", "lot", "note"),
    "places": ("jurisdiction", "city", "zip"),
}
_LABELS = {"household_number": _("Household on record"), "workshop_city": _("City of the venue")}


class RowForm(forms.Form):
    """One row as it should be. Fields are texts, read by the same code as the sheet's cells."""

    def __init__(
        self,
        *args: Any,
        kind: str,
        bins: Sequence[str],
        households: Sequence[tuple[int, str]],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        for name in ROW_FIELDS[kind]:
            self.fields[name] = _row_field(name, kind, bins, households)
        if not households:
            self.fields.pop("household_number", None)

    @property
    def texts(self) -> dict[str, str]:
        """What each field says, as the sheet would have said it."""
        texts = {name: str(value) for name, value in self.cleaned_data.items() if name != "household_number"}
        if self.cleaned_data.get("date"):
            texts["date"] = self.cleaned_data["date"].isoformat()
        elif "date" in texts:
            texts["date"] = ""
        return texts


def _row_field(
    name: str, kind: str, bins: Sequence[str], households: Sequence[tuple[int, str]]
) -> forms.Field:
    label = _LABELS.get(name) or capfirst(SAYS[name])
    if name == "date":
        return forms.DateField(label=label, required=False, widget=DAY)
    choices: Any = {
        "bin_taken": YES_NO,
        "wants_help": YES_NO,
        "composting": COMPOSTING,
        "household_number": [("", _("find it by the address below")), *households],
        "bin_model": [("", _("not said")), *((bin_name, bin_name) for bin_name in bins)],
    }.get(name)
    if choices and not (name == "bin_model" and kind == "stock"):
        return forms.ChoiceField(label=label, required=False, choices=choices)
    return forms.CharField(label=label, required=False, max_length=500)
