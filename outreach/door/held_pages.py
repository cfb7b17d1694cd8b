"""What devices sent and the office has to look at: release it, put it right, or set it aside with a reason."""

from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.door import applying, saying
from outreach.door.forms import CorrectionForm, SetAsideForm
from outreach.door.models import EventOutcome
from outreach.staff.roles import OFFICE, StaffRequest, may
from outreach.workshops.models import Workshop


@require_GET
@may(*OFFICE)
def held(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """Everything of a workshop that waits, in the order in which it happened."""
    workshop = get_object_or_404(Workshop.objects.with_names(), pk=workshop_id)
    outcomes = EventOutcome.objects.at(workshop).with_events()
    context = {
        "workshop": workshop,
        "held": [(one, saying.in_words(one.event)) for one in outcomes.held().in_order()],
        "set_aside": [(one, saying.in_words(one.event)) for one in outcomes.set_aside().in_order()],
    }
    return render(request, "door/held.html", context)


@require_POST
@may(*OFFICE)
def release(request: StaffRequest, number: UUID) -> HttpResponse:
    """Let one in."""
    outcome = _one(number)
    try:
        now = applying.release(outcome=outcome, by=request.user, at=timezone.now())
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    else:
        if now.state in (EventOutcome.State.HELD, EventOutcome.State.WAITING):
            messages.error(request, _("It still waits: %(words)s") % {"words": now.words})
        else:
            messages.success(request, _("It is on record now."))
    return redirect("door_held", outcome.event.device.workshop_id)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def set_aside(request: StaffRequest, number: UUID) -> HttpResponse:
    """Leave one out, and say why."""
    form = SetAsideForm(request.POST or None)
    words = {"heading": _("Set this aside"), "button": _("Set it aside"), "done": _("It is set aside.")}
    return _ruled(
        request, _one(number), form, words, lambda said: {"reason": said["reason"]}, applying.set_aside
    )


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def correct(request: StaffRequest, number: UUID) -> HttpResponse:
    """Put right how a walk-in was typed, and let it in."""
    outcome = _one(number)
    form = CorrectionForm(request.POST or None, initial=CorrectionForm.of(outcome.event))
    words = {
        "heading": _("Put this walk-in right"),
        "button": _("Put it on record"),
        "done": _("It is on record now."),
    }
    return _ruled(request, outcome, form, words, lambda said: {"corrections": said}, applying.correct)


def _ruled(
    request: StaffRequest,
    outcome: EventOutcome,
    form: forms.Form,
    words: dict[str, str],
    said: Callable[[dict[str, str]], dict[str, object]],
    act: Callable[..., EventOutcome],
) -> HttpResponse:
    workshop = outcome.event.device.workshop
    if form.is_valid():
        try:
            act(outcome=outcome, by=request.user, at=timezone.now(), **said(form.cleaned_data))
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            messages.success(request, words["done"])
            return redirect("door_held", workshop.pk)
    context = {"workshop": workshop, "form": form, "outcome": outcome, "said": saying.in_words(outcome.event)}
    return render(request, "door/held_ruling.html", context | words, status=422 if form.errors else 200)


def _one(number: UUID) -> EventOutcome:
    return get_object_or_404(EventOutcome.objects.with_events(), pk=number)
