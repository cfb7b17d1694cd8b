"""Likely duplicates, and merging two records after looking at both."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.households import dossier, duplicates, linking, merging
from outreach.households.duplicates import Kind, LikelyPair
from outreach.households.filters import HouseholdSearch
from outreach.households.forms import MergeForm
from outreach.households.models import Household, HouseholdMerge, Participant
from outreach.households.pages import ROWS_A_PAGE
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE, StaffRequest, may

get_or_post = require_http_methods(["GET", "HEAD", "POST"])


@require_GET
@may(*OFFICE)
def likely_duplicates(request: StaffRequest) -> HttpResponse:
    kind = Kind.PARTICIPANT if request.GET.get("kind") == Kind.PARTICIPANT else Kind.HOUSEHOLD
    pairs = duplicates.likely_people() if kind == Kind.PARTICIPANT else duplicates.likely_households()
    page = Paginator(pairs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    return render(
        request,
        "households/duplicates.html",
        {"kind": kind, "kinds": Kind, "page": page, "rows": _rows(kind, list(page.object_list))},
    )


def _rows(kind: str, pairs: list[LikelyPair]) -> list[dict[str, Any]]:
    numbers = [number for pair in pairs for number in (pair.left_id, pair.right_id)]
    is_person = kind == Kind.PARTICIPANT
    records = Participant.objects.with_links() if is_person else Household.objects.with_people()
    by_number = records.in_bulk(numbers)
    return [
        {"left": by_number[pair.left_id], "right": by_number[pair.right_id], "pair": pair} for pair in pairs
    ]


@require_POST
@may(*OFFICE)
def rule_different(request: StaffRequest, kind: str, left: int, right: int) -> HttpResponse:
    try:
        duplicates.rule_different(
            kind=kind,
            left_id=left,
            right_id=right,
            by=request.user,
            at=timezone.now(),
        )
        messages.success(request, _("Noted that they are different. They are not proposed again."))
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    return redirect("duplicates")


@require_POST
@may(*OFFICE)
def person_link(request: StaffRequest, pk: int, same_as: int) -> HttpResponse:
    person, other = get_object_or_404(Participant, pk=pk), get_object_or_404(Participant, pk=same_as)
    try:
        linking.link_same_person(participant=person, same_as=other)
        messages.success(request, _("Counted as one person from now on."))
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    return redirect("participant", pk)


@require_GET
@may(*OFFICE)
def merge_choose(request: StaffRequest, pk: int) -> HttpResponse:
    household = get_object_or_404(Household, pk=pk)
    others = Household.objects.roots().with_people().apart_from(household)
    found = HouseholdSearch(request.GET or None, queryset=others)
    page = Paginator(found.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    return render(
        request, "households/merge_choose.html", {"household": household, "filter": found, "page": page}
    )


@get_or_post
@may(*OFFICE)
def household_merge(request: StaffRequest, pk: int, absorbed: int) -> HttpResponse:
    kept, other = (get_object_or_404(Household.objects.with_people(), pk=one) for one in (pk, absorbed))
    form = MergeForm(request.POST or None)
    if form.is_valid():
        try:
            merging.merge(
                kept=kept,
                absorbed=other,
                by=request.user,
                at=timezone.now(),
                reason=form.cleaned_data["reason"],
            )
            messages.success(request, _("Merged. Both histories are kept; the merge can be undone below."))
            return redirect("household", kept.pk)
        except ValidationError as problem:
            form.add_error(None, problem.messages)
    return render(request, "households/merge.html", _both(kept, other, request.user) | {"form": form})


def _both(kept: Household, absorbed: Household, member: StaffMember) -> dict[str, Any]:
    """The two records side by side, and the people in both who become one."""
    names = {person.name_key for person in kept.people}
    sides = [
        {"household": one, "people": one.people, "timeline": dossier.timeline_of(one, member)}
        for one in (kept, absorbed)
    ]
    in_both = [person for person in absorbed.people if person.name_key in names]
    return {"kept": kept, "absorbed": absorbed, "sides": sides, "in_both": in_both}


@get_or_post
@may(*OFFICE)
def merge_undo(request: StaffRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(HouseholdMerge, pk=pk)
    if request.method == "POST":
        try:
            merging.unmerge(record=record, by=request.user, at=timezone.now())
            messages.success(request, _("The merge is undone. Both records stand for themselves again."))
        except ValidationError as problem:
            messages.error(request, " ".join(problem.messages))
        return redirect("household", record.absorbed_id)
    return render(request, "households/merge_undo.html", {"merge": record})
