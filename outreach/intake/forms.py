"""The forms of the paperwork pages: choosing files, how a sheet is understood, completing a row."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.text import capfirst
from django.utils.translation import gettext_lazy as _

from outreach.intake.columns import SAYS
from outreach.intake.hours import Start, read_start
from outreach.intake.models import PaperworkFile
from outreach.intake.sheets import Sheet, SheetRow
from outreach.intake.titles import Occasion
from outreach.intake.understanding import Reading
from outreach.intake.workshops_meant import choices_on

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
MOST_FILES = 60
ROWS_OFFERED = 12
LETTERS_SHOWN = 70


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
    starts = forms.CharField(
        label=_("Start"),
        required=False,
        max_length=40,
        help_text=_("Such as 10:00, 2 pm or morning; needed where a venue had two workshops that day."),
    )
    venue = forms.CharField(label=_("Venue"), required=False, max_length=160)
    city = forms.CharField(
        label=_("City of the venue"),
        required=False,
        max_length=120,
        help_text=_("A city of the places served."),
    )

    workshop = forms.ChoiceField(
        label=_("Workshop on record"),
        required=False,
        help_text=_("Where a day had two at one venue, say which one this sheet is of."),
    )
    heading_row = forms.TypedChoiceField(
        label=_("Row with the headings"),
        coerce=int,
        help_text=_("Choose another if the wrong row was taken for the headings; it is remembered."),
    )
    # The heading row that the columns below belong to.
    columns_of = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, reading: Reading, sheet: Sheet, **kwargs: Any) -> None:
        self.reading = reading
        super().__init__(*args, **(kwargs | {"initial": _initial_of(reading)}))
        known = choices_on(reading.occasion) if reading.kind == PaperworkFile.Kind.SIGN_IN else []
        self.fields["workshop"].choices = [("", _("find it by day, start and venue")), *known]  # type: ignore[attr-defined]
        if not known:
            del self.fields["workshop"]
        self.fields["heading_row"].choices = _rows_to_choose(sheet, reading)  # type: ignore[attr-defined]
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
        names = ("heading_row", "kind", "held_on", "starts", "venue", "city", "workshop")
        return [self[name] for name in names if name in self.fields]

    def clean_starts(self) -> Start:
        said = self.cleaned_data["starts"]
        start = read_start(said)
        if said and not start:
            raise forms.ValidationError(_("Write an hour, such as 10:00 or 2 pm, or morning or afternoon."))
        return start

    def changed_reading(self) -> Reading:
        """The reading as the person left it."""
        given = self.cleaned_data
        says = [given[f"column{column.index}"] for column in self.reading.columns]
        before = self.reading.occasion
        occasion = Occasion(
            held_on=given["held_on"],
            start=given["starts"],
            venue=given["venue"],
            city=given["city"],
            is_venue_guessed=before.is_venue_guessed and before.venue == given["venue"],
            workshop_id=int(given["workshop"]) if given.get("workshop") else None,
        )
        return self.reading.changed(kind=given["kind"], says=says, occasion=occasion)


def _initial_of(reading: Reading) -> dict[str, Any]:
    occasion = reading.occasion
    return {
        "kind": reading.kind,
        "held_on": occasion.held_on,
        "starts": occasion.start.in_words,
        "venue": occasion.venue,
        "city": occasion.city,
        "workshop": occasion.workshop_id or "",
        "heading_row": reading.heading_row,
        "columns_of": reading.heading_row,
    }


def _rows_to_choose(sheet: Sheet, reading: Reading) -> list[tuple[int, Any]]:
    """The first rows by number and words, and the one that is taken for the headings."""
    rows = [
        row for row in sheet.rows if row in sheet.rows[:ROWS_OFFERED] or row.number == reading.heading_row
    ]
    return [(0, _("none, it has no headings")), *((row.number, _row_in_words(row)) for row in rows)]


def _row_in_words(row: SheetRow) -> str:
    words = " · ".join(filter(None, row.texts))
    short = words if len(words) <= LETTERS_SHOWN else f"{words[:LETTERS_SHOWN]}…"
    return f"{row.number}: {short}"


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
        "starts",
        "venue",
        "workshop_city",
        "workshop_number",
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
# What a form asks that no column says.
FIELD_NAMES = {
    "household_number": _("Household on record"),
    "workshop_city": _("City of the venue"),
    "workshop_number": _("Workshop on record"),
}


class RowForm(forms.Form):
    """One row as it should be. Fields are texts, read by the same code as the sheet's cells."""

    def __init__(
        self,
        *args: Any,
        kind: str,
        bins: Sequence[str],
        households: Sequence[tuple[int, str]],
        workshops: Sequence[tuple[int, str]] = (),
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        on_record: dict[str, Sequence[Any]] = {
            "household_number": [("", _("find it by the address below")), *households],
            "workshop_number": [("", _("find it by day, start and venue")), *workshops],
            "bin_model": [("", _("not said")), *((bin_name, bin_name) for bin_name in bins)],
        }
        for name in ROW_FIELDS[kind]:
            self.fields[name] = _row_field(name, kind, on_record)
        for name, offered in (("household_number", households), ("workshop_number", workshops)):
            if not offered:
                self.fields.pop(name, None)

    @property
    def texts(self) -> dict[str, str]:
        """What each field says, as the sheet would have said it."""
        texts = {name: str(value) for name, value in self.cleaned_data.items() if name != "household_number"}
        if self.cleaned_data.get("date"):
            texts["date"] = self.cleaned_data["date"].isoformat()
        elif "date" in texts:
            texts["date"] = ""
        return texts


def _row_field(name: str, kind: str, on_record: Mapping[str, Sequence[Any]]) -> forms.Field:
    label = FIELD_NAMES.get(name) or capfirst(SAYS[name])
    if name == "date":
        return forms.DateField(label=label, required=False, widget=DAY)
    choices: Any = {
        "bin_taken": YES_NO,
        "wants_help": YES_NO,
        "composting": COMPOSTING,
        **on_record,
    }.get(name)
    if choices and not (name == "bin_model" and kind == "stock"):
        return forms.ChoiceField(label=label, required=False, choices=choices)
    return forms.CharField(label=label, required=False, max_length=500)
