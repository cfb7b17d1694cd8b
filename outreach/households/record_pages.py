"""Adding and correcting households and the people in them."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from outreach.households import linking, recording
from outreach.households.forms import CorrectionForm, NewHouseholdForm, PersonForm
from outreach.households.models import Household, Participant
from outreach.staff import audit
from outreach.staff.roles import OFFICE, may

get_or_post = require_http_methods(["GET", "HEAD", "POST"])


@get_or_post
@may(*OFFICE)
def household_add(request: HttpRequest) -> HttpResponse:
    form = NewHouseholdForm(request.POST or None, initial={"began_on": timezone.localdate()})
    if form.is_valid() and (added := _add(form)):
        _tell(request, form, added)
        return redirect("household", added.household.pk)
    return render(request, "households/add.html", {"form": form})


def _add(form: NewHouseholdForm) -> recording.RecordedHousehold | None:
    began_on, person = form.cleaned_data["began_on"], form.person()
    try:
        added = recording.record_household(
            address=form.address, place=form.place, began_on=began_on, facts=form.facts()
        )
        if person:
            recording.add_participant(household=added.household, person=person, first_seen_on=began_on)
    except ValidationError as problem:
        form.add_error(None, problem.messages)
        return None
    return added


def _tell(request: HttpRequest, form: NewHouseholdForm, added: recording.RecordedHousehold) -> None:
    if not added.is_new:
        messages.info(request, _("This household was already recorded. Here it is."))
    else:
        messages.success(request, _("Added: %(household)s.") % {"household": added.household})
    _warn_of_place(request, form)


def _warn_of_place(request: HttpRequest, form: Any) -> None:
    place = form.place
    if place.disagree:
        messages.warning(
            request, _("City and ZIP do not belong together. The places list went by the ZIP; look again.")
        )
    if not place.understood:
        messages.warning(request, _("Without city or ZIP nobody knows whose jurisdiction this is."))
    elif not place.is_served:
        messages.warning(request, _("This address is outside the places served."))


@get_or_post
@may(*OFFICE)
def household_correct(request: HttpRequest, pk: int) -> HttpResponse:
    household = get_object_or_404(Household, pk=pk)
    form = CorrectionForm(request.POST or None, initial=CorrectionForm.initial_of(household))
    if form.is_valid() and _correct(form, household):
        messages.success(request, _("Corrected."))
        _warn_of_place(request, form)
        return redirect("household", pk)
    return render(request, "households/correct.html", {"form": form, "household": household})


def _correct(form: CorrectionForm, household: Household) -> bool:
    with audit.because(form.cleaned_data["reason"]):
        return _acted(
            form,
            recording.correct_household,
            household=household,
            address=form.address,
            place=form.place,
            began_on=form.cleaned_data["began_on"],
            facts=form.facts(),
        )


@get_or_post
@may(*OFFICE)
def person_add(request: HttpRequest, pk: int) -> HttpResponse:
    household = get_object_or_404(Household, pk=pk)
    form = PersonForm(request.POST or None, initial={"first_seen_on": timezone.localdate()})
    if form.is_valid() and _acted(
        form,
        recording.add_participant,
        household=household,
        person=form.person(),
        first_seen_on=form.cleaned_data["first_seen_on"],
    ):
        messages.success(request, _("%(name)s belongs to this household.") % {"name": form.read_name[0]})
        return redirect("household", pk)
    return render(request, "households/participant.html", {"form": form, "household": household})


@get_or_post
@may(*OFFICE)
def person(request: HttpRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(Participant.objects.with_links(), pk=pk)
    form = PersonForm(request.POST or None, initial=PersonForm.initial_of(record))
    if form.is_valid() and _acted(
        form,
        recording.correct_participant,
        participant=record,
        person=form.person(),
        first_seen_on=form.cleaned_data["first_seen_on"],
    ):
        messages.success(request, _("Corrected."))
        return redirect("household", record.household_id)
    context = {"form": form, "household": record.household, "person": record}
    return render(request, "households/participant.html", context | {"entries": audit.entries_of(record)})


@require_http_methods(["POST"])
@may(*OFFICE)
def person_unlink(request: HttpRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(Participant, pk=pk)
    try:
        linking.unlink(participant=record)
        messages.success(request, _("%(name)s counts as a person of their own again.") % {"name": record})
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    return redirect("participant", pk)


def _acted(form: Form, action: Any, **what: Any) -> bool:
    """Whether the action was done; where it refused, its sentences stand on the form."""
    try:
        action(**what)
    except ValidationError as problem:
        form.add_error(None, problem.messages)
        return False
    return True
