"""How each column was understood: a person may change it, sees the first rows, and says 'take in'."""

from collections.abc import Iterator
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
from outreach.intake.understanding import Reading, understand_sheet
from outreach.staff.roles import OFFICE, StaffRequest, may

EXAMPLES = 3
Kind = PaperworkFile.Kind


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
    forms = list(_forms(request, opened))
    opened = replace(opened, readings=tuple(form.reading for form in forms))
    problem = ""
    if request.method == "POST" and all(form.is_bound for form in forms) and _all_valid(forms):
        readings = tuple(form.changed_reading() for form in forms)
        opened = replace(opened, readings=readings)
        if request.POST.get("do") == "take_in":
            staging.settle_reading(file=file, readings=readings, by=request.user, at=timezone.now())
            problem = staging.what_is_missing(file)
            if not problem:
                return pages.take_in_one(request, file)
    context = {
        "no_places": not Lists.load().places.places and Kind.PLACES not in opened.kinds,
        "file": file,
        "parts": _parts(opened, forms),
        "problem": problem,
        "steps": _steps(),
    }
    template = "intake/columns.html#parts" if request.htmx else "intake/columns.html"  # type: ignore[attr-defined]
    response = render(request, template, context, status=422 if problem else 200)
    response["Vary"] = "HX-Request"
    return response


def _forms(request: StaffRequest, opened: OpenedFile) -> Iterator[ReadingForm]:
    """One for each sheet. Where a person has just chosen another heading row, its columns are understood anew."""
    around = staging.around(opened)
    for number, (sheet, settled) in enumerate(zip(opened.sheets, opened.readings, strict=True)):
        prefix = f"sheet{number}"
        shown, chosen = (_row_said(request, f"{prefix}-{name}") for name in ("columns_of", "heading_row"))
        is_as_settled = shown in {None, settled.heading_row}
        reading = settled if is_as_settled else understand_sheet(sheet, around, heading_row=shown)
        if chosen is not None and chosen != reading.heading_row:
            anew = understand_sheet(sheet, around, heading_row=chosen)
            yield ReadingForm(None, prefix=prefix, reading=anew, sheet=sheet)
        else:
            yield ReadingForm(request.POST or None, prefix=prefix, reading=reading, sheet=sheet)


def _row_said(request: StaffRequest, name: str) -> int | None:
    said = request.POST.get(name, "")
    return int(said) if said.isdigit() else None


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
