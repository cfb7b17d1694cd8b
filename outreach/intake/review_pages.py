"""Rows that a person has to look at: the original cells beside a form to complete them."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.households.models import Household
from outreach.intake import settling
from outreach.intake.forms import RowForm
from outreach.intake.models import PaperworkRow
from outreach.intake.outcomes import made_of
from outreach.intake.pages import PAPERWORK_READERS, ROWS_A_PAGE, may_change
from outreach.intake.row_corrections import form_for, with_household
from outreach.staff.roles import OFFICE, StaffRequest, may


@require_GET
@may(*PAPERWORK_READERS)
def intake_review(request: StaffRequest) -> HttpResponse:
    """Every row that waits, the newest file first."""
    rows = PaperworkRow.objects.for_review().select_related("file").newest_file_first()
    page = Paginator(rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "page_obj": page,
        "may_change": may_change(request),
        "not_read": PaperworkRow.objects.not_read().count(),
    }
    return render(request, "intake/review.html", context)


@require_http_methods(["GET", "POST"])
@may(*PAPERWORK_READERS)
def intake_row(request: StaffRequest, pk: int) -> HttpResponse:
    """One row: its cells as they were, what came of it, and the form while it waits."""
    row = get_object_or_404(PaperworkRow.objects.select_related("file", "resolved_by"), pk=pk)
    form = None
    if row.waits and may_change(request):
        form = form_for(row, request.POST or None)
        if request.method == "POST" and form.is_valid() and _completed(request, row, form):
            return _go_on(request, row)
    columns = settling.reading_of(row).columns
    cells = [
        (columns[index].heading if index < len(columns) else "", cell) for index, cell in enumerate(row.cells)
    ]
    context = {
        "row": row,
        "cells": [(heading, cell) for heading, cell in cells if heading or cell],
        "made": made_of([row])[row.pk],
        "form": form,
        "may_change": may_change(request),
    }
    return render(request, "intake/row.html", context, status=422 if form and form.errors else 200)


def _completed(request: StaffRequest, row: PaperworkRow, form: RowForm) -> bool:
    number = form.cleaned_data.get("household_number")
    chosen = Household.objects.numbered([number]).first() if number else None
    texts = with_household(form.texts, chosen)
    try:
        settling.complete_row(row=row, texts=texts, by=request.user, at=timezone.now())
    except ValidationError as problem:
        form.add_error(None, problem.messages)
        return False
    messages.success(request, _("Row %(number)d is recorded.") % {"number": row.row_number})
    return True


@require_POST
@may(*OFFICE)
def intake_try_again(request: StaffRequest) -> HttpResponse:
    """Read the rows that could not be read once more, with what has been recorded since."""
    recorded = settling.try_again(by=request.user, at=timezone.now())
    words = ngettext("%(count)d row is recorded now.", "%(count)d rows are recorded now.", recorded)
    messages.success(request, words % {"count": recorded})
    return redirect("intake_review")


@require_POST
@may(*OFFICE)
def intake_row_right(request: StaffRequest, pk: int) -> HttpResponse:
    """Someone has looked, and there is nothing to do."""
    row = get_object_or_404(PaperworkRow, pk=pk)
    try:
        settling.find_right(row=row, by=request.user, at=timezone.now())
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
        return redirect("intake_row", pk)
    messages.success(request, _("Row %(number)d is settled: nothing to do.") % {"number": row.row_number})
    return _go_on(request, row)


def _go_on(request: StaffRequest, row: PaperworkRow) -> HttpResponse:
    following = PaperworkRow.objects.next_for_review(row)
    return redirect("intake_row", following.pk) if following else redirect("intake_review")
