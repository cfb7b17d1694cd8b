"""Follow-up: who was asked and who answered, the answers, and entering or correcting one by hand."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.followup import answering, reviewing, waves
from outreach.followup.filters import AnswerFilter
from outreach.followup.forms import AnswerForm, initial_of
from outreach.followup.models import Answer
from outreach.households.models import Household
from outreach.staff import audit, shortcuts
from outreach.staff.roles import OFFICE, READERS, TRAIL_READERS, StaffRequest, may
from outreach.workshops.finding_people import MOST_SHOWN, people_matching

ROWS_A_PAGE = 50
MOST_DUE_SHOWN = 50


@require_GET
@may(*READERS)
def followup(request: StaffRequest) -> HttpResponse:
    """Response by wave and place, then the answers; those in review first."""
    today = timezone.localdate()
    answers = Answer.objects.review_first().with_household()
    if not request.GET.get("standing"):
        answers = answers.current()
    narrowed = AnswerFilter(request.GET or None, queryset=answers)
    context = {
        "filter": narrowed,
        "page": Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page")),
        "sees_words": request.user.role in OFFICE,
    }
    if request.htmx:  # type: ignore[attr-defined]
        response = render(request, "followup/list.html#rows", context)
    else:
        context |= {
            "responses": waves.responses(on=today),
            "due": waves.due(on=today).count(),
            "in_review": Answer.objects.in_review().count(),
            "shortcuts": shortcuts.shown_on("followup", request.user.role),
        }
        response = render(request, "followup/list.html", context)
    response["Vary"] = "HX-Request"
    return response


@require_GET
@may(*READERS)
def answer(request: StaffRequest, answer_id: int) -> HttpResponse:
    """One answer: words, readings, how it stands, what it corrects; words only for the office."""
    shown = get_object_or_404(Answer.objects.with_history(), pk=answer_id)
    sees_trail = request.user.role in TRAIL_READERS
    context = {
        "answer": shown,
        "sees_words": request.user.role in OFFICE,
        "sees_trail": sees_trail,
        "entries": audit.entries_of(shown) if sees_trail else [],
    }
    return render(request, "followup/answer.html", context)


@require_GET
@may(*OFFICE)
def answer_choose(request: StaffRequest) -> HttpResponse:
    """Which household answered: found by name or address, or one of those that owe an answer."""
    sought = request.GET.get("q", "")
    due = waves.due(on=timezone.localdate()).select_related("jurisdiction")
    context = {
        "sought": sought,
        "found": list(people_matching(sought)[:MOST_SHOWN]),
        "due": list(due[:MOST_DUE_SHOWN]),
        "all_due": due.count(),
    }
    return render(request, "followup/choose.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def answer_add(request: StaffRequest, household_id: int) -> HttpResponse:
    """Enter one answer of a household by hand."""
    household = get_object_or_404(Household.objects.select_related("jurisdiction"), pk=household_id)
    today = timezone.localdate()
    # A page that knows how the answer came, such as that of a site check, says so in the address.
    initial = {"answered_on": today, "channel": Answer.Channel.PHONE, **request.GET.dict()}
    form = AnswerForm(request.POST or None, household=household, today=today, initial=initial)
    if form.is_valid():
        recorded = answering.record_answer(given=form.given(), by=request.user, at=timezone.now())
        _say(request, recorded)
        return redirect("answer", recorded.answer.pk)
    cancel_url = reverse("household", args=[household_id])
    context = {"form": form, "household": household, "cancel_url": cancel_url}
    return render(request, "followup/form.html", context, status=_status_of(form))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def answer_correct(request: StaffRequest, answer_id: int) -> HttpResponse:
    """Write what the household really said; the earlier answer stays as it was, and counts no more."""
    old = get_object_or_404(Answer.objects.with_household(), pk=answer_id)
    today = timezone.localdate()
    form = AnswerForm(request.POST or None, household=old.household, today=today, initial=initial_of(old))
    if form.is_valid():
        try:
            given = form.given()
            new = reviewing.correct_answer(answer=old, given=given, by=request.user, at=timezone.now())
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            _say(request, answering.RecordedAnswer(new, was_known=False))
            return redirect("answer", new.pk)
    cancel_url = reverse("answer", args=[answer_id])
    context = {"form": form, "household": old.household, "answer": old, "cancel_url": cancel_url}
    return render(request, "followup/form.html", context, status=_status_of(form))


def _say(request: StaffRequest, recorded: answering.RecordedAnswer) -> None:
    if recorded.was_known:
        messages.info(request, _("This answer was already recorded; nothing was added."))
    elif recorded.is_in_review:
        messages.warning(request, _("The answer is kept, but waits in review until someone has looked."))
    else:
        messages.success(request, _("The answer is recorded."))


def _status_of(form: Any) -> int:
    return 422 if form.is_bound and form.errors else 200
