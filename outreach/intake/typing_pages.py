"""Typing a sheet: one grid for a workshop's sign-in sheet, one for a stack of paper answers; keyboard only."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from outreach.bins.models import BinModel
from outreach.households.models import Participant
from outreach.intake import looking_at_typed, typed_sheets
from outreach.intake.columns import SAYS
from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.intake.typed_sheets import Typed
from outreach.staff.roles import OFFICE, StaffRequest, may
from outreach.workshops.finding_people import people_matching
from outreach.workshops.models import Registration, Workshop

BLANK_ROWS = 5
ROWS_SHOWN = 12
NAMES_SHOWN = 12


@dataclass(slots=True, kw_only=True)
class Line:
    """One row of the grid: its fields with what stands in them, and what is wrong."""

    number: int
    kind: str
    texts: dict[str, str] = field(default_factory=dict)
    problems: list[str] = field(default_factory=list)

    @property
    def is_sign_in(self) -> bool:
        return self.kind == PaperworkFile.Kind.SIGN_IN

    @property
    def fields(self) -> list[dict[str, str]]:
        return [
            {
                "says": says,
                "label": str(SAYS[says]),
                "name": f"{says}-{self.number}",
                "text": self.texts.get(says, ""),
            }
            for says in typed_sheets.says_of(self.kind)
        ]


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def type_sign_ins(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """The sign-in sheet of a workshop, row by row."""
    workshop = _workshop(workshop_id)
    on_the_list = Registration.objects.at(workshop).on_the_list().with_people()
    context = {
        "workshop": workshop,
        "names": [one.participant.full_name for one in on_the_list],
        "bins": ["yes", *BinModel.objects.values_list("name", flat=True)],
    }
    return _grid(request, _sheet_of(request, workshop), context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def type_answers(request: StaffRequest) -> HttpResponse:
    """A stack of paper answers, row by row; the date stays as it was until it is changed."""
    return _grid(request, _stack_of(request), {})


@require_POST
@may(*OFFICE)
def sign_in_look(request: StaffRequest, workshop_id: int, number: int) -> HttpResponse:
    """What is known of one row of a sign-in sheet as far as it is typed."""
    return _look(request, _sheet_of(request, _workshop(workshop_id)), number)


@require_POST
@may(*OFFICE)
def answer_look(request: StaffRequest, number: int) -> HttpResponse:
    """What is known of one answer as far as it is typed."""
    return _look(request, _stack_of(request), number)


def _workshop(number: int) -> Workshop:
    return get_object_or_404(Workshop.objects.with_names(), pk=number)


def _sheet_of(request: StaffRequest, workshop: Workshop) -> PaperworkFile:
    return typed_sheets.for_workshop(workshop=workshop, by=request.user, at=timezone.now())


def _stack_of(request: StaffRequest) -> PaperworkFile:
    return typed_sheets.for_answers(on=timezone.localdate(), by=request.user, at=timezone.now())


def _look(request: StaffRequest, file: PaperworkFile, number: int) -> HttpResponse:
    typed = Typed(number=number, texts=_texts(request.POST, file.kind, number))
    said = looking_at_typed.said_of(file=file, typed=typed, by=request.user, at=timezone.now())
    return render(request, "intake/typed_said.html", {"said": said})


@require_safe
@may(*OFFICE)
def typed_names(request: StaffRequest) -> HttpResponse:
    """Names on record that go on like what was typed, for the list under the field."""
    typed = next((str(value) for name, value in request.GET.items() if name.startswith("name-")), "")
    people = people_matching(typed)[:NAMES_SHOWN]
    return render(request, "intake/typed_names.html", {"people": list[Participant](people)})


def _grid(request: StaffRequest, file: PaperworkFile, context: dict[str, Any]) -> HttpResponse:
    failed = list(_save(request, file)) if request.method == "POST" else []
    saved = PaperworkFile.objects.of_bytes(file.sha256).taken_in().first()
    file = saved or file
    start = max([typed_sheets.next_number(file), *(one.number + 1 for one in failed)])
    date = _date_of_the_last(file)
    blank = [Line(number=start + step, kind=file.kind, texts={"date": date}) for step in range(BLANK_ROWS)]
    rows = saved.rows.order_by("-row_number") if saved else PaperworkRow.objects.none()
    context |= {
        "file": file,
        "lines": [*failed, *blank],
        "rows": list(reversed(rows[:ROWS_SHOWN])),
        "row_count": rows.count(),
        "headings": [SAYS[says] for says in typed_sheets.says_of(file.kind)],
        "failed": failed,
        "first_blank": failed[0].number if failed else start,
    }
    template = "intake/typed_grid.html" if getattr(request, "htmx", False) else "intake/type.html"
    return render(request, template, context, status=200)


def _save(request: StaffRequest, file: PaperworkFile) -> Iterator[Line]:
    """Each row that was filled in, by itself; those that could not be saved come back with why."""
    numbers = (int(one) for one in request.POST.getlist("row") if one.isascii() and one.isdigit())
    for number in sorted(set(numbers)):
        texts = _texts(request.POST, file.kind, number)
        typed = Typed(number=number, texts=texts)
        if typed.is_empty:
            continue
        try:
            typed_sheets.save_row(file=file, typed=typed, by=request.user, at=timezone.now())
        except ValidationError as problem:
            yield Line(number=number, kind=file.kind, texts=texts, problems=list(problem.messages))


def _texts(sent: QueryDict, kind: str, number: int) -> dict[str, str]:
    return {says: sent.get(f"{says}-{number}", "")[:200] for says in typed_sheets.says_of(kind)}


def _date_of_the_last(file: PaperworkFile) -> str:
    """A stack of answers mostly bears one date."""
    says = typed_sheets.says_of(file.kind)
    last = file.rows.order_by("-row_number").first() if file.pk else None
    return str(last.cells[says.index("date")]) if last is not None and "date" in says else ""
