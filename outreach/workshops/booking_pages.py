"""Bookings of a workshop for the office and the crew: who signed up, offers, joining, postponing."""

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops import answering_offers, booking_rolls, changing, giving_back, joining, postponing
from outreach.workshops.forms import JoinForm, PostponeForm
from outreach.workshops.models import Booking, Offer, Workshop

STEPS: dict[str, Callable[..., Any]] = {
    "confirm": lambda booking, by, at: changing.confirm(booking=booking, at=at),
    "give-back": lambda booking, by, at: giving_back.give_back(
        booking=booking, because=Booking.Because.OFFICE, at=at, by=by
    ),
    "book": lambda booking, by, at: answering_offers.give_directly(speaker=booking, at=at, by=by),
}
DONE = {
    "confirm": gettext_lazy("Written down: they come."),
    "give-back": gettext_lazy("The places are given back; the next in line is asked."),
    "book": gettext_lazy("They have their places."),
}


@require_GET
@may(*WITH_CONTACT_DATA)
def workshop_bookings(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """Who signed up, how to reach them, what they need, and what waits for an answer."""
    shown = get_object_or_404(Workshop.objects.with_people(), pk=workshop_id)
    context = {
        "workshop": shown,
        "roll": booking_rolls.roll_of(shown),
        "may_change": not shown.is_settled,
        "may_plan": request.user.role in OFFICE,
        "public_address": request.build_absolute_uri(reverse("public_workshop", args=[shown.pk])),
    }
    return render(request, "workshops/bookings.html", context)


@require_POST
@may(*WITH_CONTACT_DATA)
def booking_step(request: StaffRequest, booking_id: int, step: str) -> HttpResponse:
    """What someone said on the phone: they come, they do not; or the office books who stands by."""
    booking = get_object_or_404(Booking.objects.select_related("workshop"), pk=booking_id)
    try:
        STEPS[step](booking=booking, by=request.user, at=timezone.now())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    else:
        messages.success(request, DONE[step])
    return redirect("workshop_bookings", booking.workshop_id)


@require_POST
@may(*WITH_CONTACT_DATA)
def offer_answer(request: StaffRequest, offer_id: int, answer: str) -> HttpResponse:
    """An offer that was answered on the phone."""
    offer = get_object_or_404(Offer, pk=offer_id)
    act = answering_offers.accept if answer == "yes" else answering_offers.decline
    try:
        act(offer=offer, at=timezone.now(), by=request.user)
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    else:
        messages.success(request, _("The answer is written down."))
    return redirect("workshop_bookings", offer.workshop_id)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def booking_join(request: StaffRequest, booking_id: int, other_id: int) -> HttpResponse:
    """Make two bookings of one household one, and say how many people come in all."""
    kept, other = (
        get_object_or_404(Booking.objects.with_people(), pk=number) for number in (booking_id, other_id)
    )
    form = JoinForm(request.POST or None, initial={"people": max(kept.people, other.people)})
    if form.is_valid():
        people = form.cleaned_data["people"]
        try:
            joining.join(kept=kept, other=other, people=people, by=request.user, at=timezone.now())
        except ValidationError as refused:
            form.add_error("people" if hasattr(refused, "error_dict") else None, refused.messages)
        else:
            messages.success(request, _("The two bookings are one; places counted twice are given back."))
            return redirect("workshop_bookings", kept.workshop_id)
    context = {"form": form, "kept": kept, "other": other, "workshop": kept.workshop}
    return render(request, "workshops/booking_join.html", context, status=422 if form.errors else 200)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def workshop_postpone(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """A new day, hour or place; everyone on the list is told and keeps the place."""
    shown = get_object_or_404(Workshop.objects.with_people(), pk=workshop_id)
    form = PostponeForm(request.POST or None, initial=PostponeForm.of(shown))
    if form.is_valid():
        to, reason = form.new_date(), form.cleaned_data["reason"]
        try:
            postponing.postpone(workshop=shown, to=to, reason=reason, by=request.user, at=timezone.now())
        except ValidationError as refused:
            _spread(form, refused)
        else:
            messages.success(request, _("The workshop is moved, and everyone on its list is told."))
            return redirect("workshop", workshop_id)
    context = {"form": form, "workshop": shown}
    return render(request, "workshops/postpone.html", context, status=422 if form.errors else 200)


def _spread(form: PostponeForm, refused: ValidationError) -> None:
    if not hasattr(refused, "error_dict"):
        form.add_error(None, refused.messages)
        return
    for name, texts in refused.message_dict.items():
        form.add_error(name if name in form.fields else None, texts)
