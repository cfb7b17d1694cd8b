"""Putting people on the list of a workshop, and saying who came."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from outreach.households.models import Participant
from outreach.staff.roles import WITH_CONTACT_DATA, may
from outreach.workshops import answering_offers, arriving, registering, roster
from outreach.workshops.finding_people import MOST_SHOWN, people_matching
from outreach.workshops.forms import PersonForm
from outreach.workshops.models import Registration, Workshop

STEPS: dict[str, Callable[..., Registration]] = {
    "attended": registering.mark_attended,
    "missed": registering.mark_missed,
    "undo": registering.undo,
    "cancel": registering.cancel,
    "one-more": registering.one_more,
    "one-fewer": registering.one_fewer,
    "book": answering_offers.book_from_standby,
}
PUT_KNOWN: dict[str, Callable[..., Registration]] = {
    "book": registering.register,
    "walk-in": registering.walk_in,
}
PUT_TYPED: dict[str, Callable[..., Registration]] = {
    "book": arriving.book_typed,
    "walk-in": arriving.walk_in_typed,
}


@require_POST
@may(*WITH_CONTACT_DATA)
def registration_step(request: HttpRequest, registration_id: int, step: str) -> HttpResponse:
    """Came, missed, undone or given back: the row alone for htmx, else the page of the workshop again."""
    registration = get_object_or_404(Registration.objects.with_people(), pk=registration_id)
    problem = ""
    try:
        registration = STEPS[step](registration=registration, by=request.user, at=timezone.now())
    except ValidationError as refused:
        problem = " ".join(refused.messages)
    if request.htmx:  # type: ignore[attr-defined]
        return _row(request, registration, problem)
    if problem:
        messages.error(request, problem)
    return redirect("workshop", registration.workshop_id)


def _row(request: HttpRequest, registration: Registration, problem: str) -> HttpResponse:
    shown = Workshop.objects.with_people().get(pk=registration.workshop_id)
    context = {
        "workshop": shown,
        "row": roster.rows_of([registration])[0],
        "problem": problem,
        "sees_names": True,
        "may_change": not shown.is_settled,
        "is_swap": True,
    }
    return render(request, "workshops/row.html", context)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def workshop_person_add(request: HttpRequest, workshop_id: int, how: str) -> HttpResponse:
    """Find someone who is recorded, or type a new person in; `how` is 'book' or 'walk-in'."""
    shown = get_object_or_404(Workshop.objects.with_people(), pk=workshop_id)
    sought = request.GET.get("q", "")
    form = PersonForm(request.POST or None)
    if form.is_valid():
        typed = form.typed()
        try:
            put = PUT_TYPED[how](workshop=shown, typed=typed, by=request.user, at=timezone.now())
        except ValidationError as problem:
            form.add_error(None, problem) if not hasattr(problem, "error_dict") else _spread(form, problem)
        else:
            return _put(request, put)
    found = list(people_matching(sought)[:MOST_SHOWN])
    context = {"workshop": shown, "how": how, "form": form, "sought": sought, "found": found}
    return render(request, "workshops/person_add.html", context, status=422 if form.errors else 200)


@require_POST
@may(*WITH_CONTACT_DATA)
def workshop_person_put(
    request: HttpRequest, workshop_id: int, how: str, participant_id: int
) -> HttpResponse:
    """Put someone who is recorded on the list."""
    shown = get_object_or_404(Workshop, pk=workshop_id)
    person = get_object_or_404(Participant.objects.select_related("household"), pk=participant_id)
    try:
        put = PUT_KNOWN[how](workshop=shown, participant=person, by=request.user, at=timezone.now())
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
        return redirect("workshop", workshop_id)
    return _put(request, put)


def _put(request: HttpRequest, put: Registration) -> HttpResponse:
    said = {"person": put.participant, "state": put.get_state_display()}
    messages.success(request, _("%(person)s is on the list: %(state)s.") % said)
    return redirect("workshop", put.workshop_id)


def _spread(form: Any, problem: ValidationError) -> None:
    """Each message under its field, those of fields that are not typed above the form."""
    for name, texts in problem.message_dict.items():
        form.add_error(name if name in form.fields else None, texts)
