"""Releasing free text row by row: a person reads each, and ticks what may go out."""

from typing import Any, NamedTuple

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.http import Http404, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from outreach.disclosure import making
from outreach.disclosure.models import RecordsRequest
from outreach.disclosure.row_kinds import BY_KEY, RowKind
from outreach.disclosure.rows import words_to_release
from outreach.disclosure.withholding import heading_of
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE, StaffRequest, may

ROWS_A_PAGE = 25


class Act(NamedTuple):
    """Who releases, and when."""

    by: StaffMember
    at: Any


@require_http_methods(["GET", "HEAD", "POST"])
@may(*OFFICE)
def records_request_words(request: StaffRequest, pk: int, kind: str) -> HttpResponse:
    asked = get_object_or_404(RecordsRequest, pk=pk)
    row_kind = BY_KEY.get(kind)
    if row_kind is None or not row_kind.words or kind not in asked.kinds:
        raise Http404(_("This request has no free text of that kind."))
    rows = words_to_release(asked, row_kind).values("pk", *row_kind.words)
    page = Paginator(rows, ROWS_A_PAGE).get_page(request.GET.get("page"))
    if request.method == "POST":
        now = _release(request, asked, row_kind)
        messages.success(request, _("Of this page, %(number)s texts may go out.") % {"number": now})
        following = page.next_page_number() if page.has_next() else page.number
        address = reverse("records_request_words", args=[pk, kind])
        return redirect(f"{address}?page={following}") if page.has_next() else redirect(asked)
    context = {"asked": asked, "kind": row_kind, "page": page, "rows": _shown(asked, row_kind, page)}
    return render(request, "disclosure/words.html", context)


def _release(request: StaffRequest, asked: RecordsRequest, kind: RowKind) -> int:
    return making.release_words(
        request=asked,
        kind=kind,
        looked_at=[int(one) for one in request.POST.getlist("looked_at") if one.isdecimal()],
        chosen=set(_chosen(request.POST)),
        act=Act(by=request.user, at=timezone.now()),
    )


def _chosen(posted: QueryDict) -> list[tuple[int, str]]:
    found = []
    for one in posted.getlist("release"):
        row, _colon, column = one.partition(":")
        if row.isdecimal():
            found.append((int(row), column))
    return found


def _shown(asked: RecordsRequest, kind: RowKind, page: "Page") -> list[dict[str, Any]]:
    released = asked.released.of_kind(kind.key).of_rows([row["pk"] for row in page]).places()
    return [
        {
            "pk": row["pk"],
            "column": column,
            "heading": heading_of(column),
            "text": row[column],
            "is_released": (row["pk"], column) in released,
            "is_first": column == next(one for one in kind.words if row[one]),
        }
        for row in page
        for column in kind.words
        if row[column]
    ]
