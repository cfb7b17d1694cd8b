"""How each column was understood: a person may change it, sees the first rows, and says 'take in'."""

from dataclasses import dataclass, replace

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods
from openpyxl.utils import get_column_letter

from outreach.intake import pages, staging
from outreach.intake.columns import Column
from outreach.intake.forms import ReadingForm
from outreach.intake.models import PaperworkFile
from outreach.intake.preparing import Lists, OpenedFile
from outreach.intake.previews import PreviewRow, preview_of
from outreach.intake.sheets import Sheet
from outreach.intake.understanding import Reading
from outreach.staff.roles import OFFICE, StaffRequest, may

EXAMPLES = 3


@dataclass(frozen=True, slots=True)
class ColumnLine:
    """One column on the page: its letter, heading, first cells, why, and the select."""

    letter: str
    column: Column
    examples: list[str]
    field: object


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One sheet on the page."""

    sheet: Sheet
    reading: Reading
    form: ReadingForm
    lines: list[ColumnLine]
    preview: list[PreviewRow]


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def paperwork_columns(request: StaffRequest, pk: int) -> HttpResponse:
    """Look at, change and accept how the columns of a staged file are understood."""
    file = get_object_or_404(PaperworkFile, pk=pk)
    if file.state != PaperworkFile.State.STAGED:
        return redirect("paperwork_file", pk)
    opened = staging.opened_again(file)
    forms = [
        ReadingForm(request.POST or None, prefix=f"sheet{number}", reading=reading)
        for number, reading in enumerate(opened.readings)
    ]
    problem = ""
    if request.method == "POST" and _all_valid(forms):
        readings = tuple(form.changed_reading() for form in forms)
        opened = replace(opened, readings=readings)
        if request.POST.get("do") == "take_in":
            staging.settle_reading(file=file, readings=readings, by=request.user, at=timezone.now())
            problem = staging.what_is_missing(file)
            if not problem:
                return pages.take_in_one(request, file)
    context = {
        "no_places": not Lists.load().places.places,
        "file": file,
        "parts": _parts(opened, forms),
        "problem": problem,
        "steps": _steps(),
    }
    template = "intake/columns.html#parts" if request.htmx else "intake/columns.html"  # type: ignore[attr-defined]
    response = render(request, template, context, status=422 if problem else 200)
    response["Vary"] = "HX-Request"
    return response


def _all_valid(forms: list[ReadingForm]) -> bool:
    """Every form is checked, so that each shows its own errors."""
    return not [form for form in forms if not form.is_valid()]


def _steps() -> list[str]:
    return [_("Choose files"), _("Check the columns"), _("Taken in")]


def _parts(opened: OpenedFile, forms: list[ReadingForm]) -> list[SheetPart]:
    lists = Lists.load()
    return [
        SheetPart(
            sheet=sheet,
            reading=reading,
            form=form,
            lines=_lines(sheet, reading, form),
            preview=preview_of(sheet, reading, lists),
        )
        for sheet, reading, form in zip(opened.sheets, opened.readings, forms, strict=True)
    ]


def _lines(sheet: Sheet, reading: Reading, form: ReadingForm) -> list[ColumnLine]:
    below = [row for row in sheet.rows if row.number > reading.heading_row]
    lines = []
    for column in reading.columns:
        filled = [row.texts[column.index] for row in below if len(row.texts) > column.index]
        examples = [text for text in filled if text][:EXAMPLES]
        lines.append(ColumnLine(_letter(column.index), column, examples, form[f"column{column.index}"]))
    return lines


def _letter(index: int) -> str:
    """0 → A, 26 → AA, as a spreadsheet heads its columns."""
    return get_column_letter(index + 1)
