"""Signing up, and what a household does with its booking through the link it was given. No sign-in."""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from outreach.post import links
from outreach.post.links import LinkBroken
from outreach.post.residents_language import in_residents_language, public_page
from outreach.workshops import (
    answering_offers,
    changing,
    giving_back,
    recipients,
    sayings,
    signing_up,
    trying,
)
from outreach.workshops.models import Booking, Offer, Workshop
from outreach.workshops.public_pages import kept_query, public_or_404, shown
from outreach.workshops.sign_up_form import MARK, ReachForm, SignUpForm, fresh_key

View = Callable[..., HttpResponse]


@login_not_required
@require_http_methods(["GET", "POST"])
@in_residents_language
def sign_up(request: HttpRequest, workshop_id: int) -> HttpResponse:
    """The form; who sends it lands on the page of the booking, whoever that is."""
    workshop = public_or_404(workshop_id)
    if not workshop.takes_sign_ups(timezone.now()):
        return public_page(request, "workshops/public/closed.html", shown(request, workshop))
    form = SignUpForm(request.POST or None, initial=_first_values(request))
    status = 422 if form.errors else 200
    if form.is_valid():
        if _too_often(request, form):
            return _called_instead(request)
        try:
            booking = signing_up.sign_up(workshop=workshop, asked=form.asked(), at=timezone.now())
        except ValidationError as refused:
            form.add_error("people" if hasattr(refused, "error_dict") else None, refused.messages)
            status = 422
        else:
            return redirect(recipients.booking_path(booking) + _language(booking))
    context = shown(request, workshop) | {"form": form}
    answer = public_page(request, "workshops/public/sign_up.html", context)
    answer.status_code = status
    return answer


def _first_values(request: HttpRequest) -> dict[str, Any]:
    mark = MARK.sub("", request.GET.get("from", ""))[:40]
    return {
        "form_key": fresh_key(),
        "flyer_mark": mark,
        "heard": Booking.Heard.FLYER if mark else "",
        "language": (translation.get_language() or "en")[:2],
    }


def _too_often(request: HttpRequest, form: SignUpForm) -> bool:
    said = form.cleaned_data
    return trying.is_too_often(
        network_address=trying.network_address_of(request),
        contacts=(said["email"], said["phone"]),
        at=timezone.now(),
    )


def _called_instead(request: HttpRequest) -> HttpResponse:
    answer = public_page(request, "workshops/public/too_often.html", {"keep": kept_query(request)})
    answer.status_code = 429
    return answer


def _language(booking: Booking) -> str:
    return f"?language={booking.language}"


def _broken(request: HttpRequest, words: str) -> HttpResponse:
    context = {"words": words, "keep": kept_query(request)}
    answer = public_page(request, "workshops/public/broken_link.html", context)
    answer.status_code = 404
    return answer


def by_link(purpose: str) -> Callable[[View], View]:
    """Read what the link names; a broken or outdated one is a page in words. Never kept by caches."""

    def reads(view: View) -> View:
        @wraps(view)
        def read(request: HttpRequest, token: str, **more: Any) -> HttpResponse:
            try:
                answer = view(request, links.read(purpose, token), token=token, **more)
            except LinkBroken as broken:
                answer = _broken(request, str(broken))
            except (Booking.DoesNotExist, Offer.DoesNotExist):
                answer = _broken(request, _("This link leads nowhere any more."))
            answer["Cache-Control"] = "private, no-store"
            answer["X-Robots-Tag"] = "noindex"
            return answer

        return read

    return reads


@login_not_required
@require_http_methods(["GET"])
@in_residents_language
@by_link("booking")
def my_booking(request: HttpRequest, said: dict[str, Any], token: str) -> HttpResponse:
    """What was booked, and what can be done. Nothing of it depends on what else is on record."""
    return _booking_page(request, _booking(said), token)


def _booking(said: dict[str, Any]) -> Booking:
    return Booking.objects.with_people().get(pk=said["booking"])


def _booking_page(request: HttpRequest, booking: Booking, token: str) -> HttpResponse:
    context = shown(request, booking.workshop) | {
        "booking": booking,
        "token": token,
        "people": sayings.people(booking.people),
        "standing": sayings.standing(booking),
        "to_do": sayings.to_do(booking),
        "bin": sayings.bin_sentence(booking),
        "bring": sayings.bring(booking.workshop),
        "reach": sayings.reach(booking),
        "offer": Offer.objects.open().of(booking).first(),
        "is_to_come": _is_to_come(booking.workshop),
    }
    return public_page(request, "workshops/public/booking.html", context)


@login_not_required
@require_POST
@in_residents_language
@by_link("booking")
def my_booking_step(request: HttpRequest, said: dict[str, Any], token: str, step: str) -> HttpResponse:
    """Confirm, or give back."""
    booking = _booking(said)
    if not _is_to_come(booking.workshop):
        return _too_late(request, token)
    at = timezone.now()
    try:
        if step == "confirm":
            changing.confirm(booking=booking, at=at)
            messages.success(request, _("Thank you: we expect you."))
        else:
            giving_back.give_back(booking=booking, because=Booking.Because.THEMSELVES, at=at)
            messages.success(request, _("Your places are given back. Thank you for saying so."))
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    return _back(request, token)


@login_not_required
@require_http_methods(["GET", "POST"])
@in_residents_language
@by_link("booking")
def my_booking_change(request: HttpRequest, said: dict[str, Any], token: str) -> HttpResponse:
    """How many come, how to reach them, what they need."""
    booking = _booking(said)
    if not _is_to_come(booking.workshop):
        return _too_late(request, token)
    initial = {name: getattr(booking, name) for name in changing.CHANGEABLE} | {"people": booking.people}
    form = ReachForm(request.POST or None, initial=initial)
    if form.is_valid():
        people = form.cleaned_data["people"]
        try:
            changing.change(booking=booking, people=people, said=form.said(), at=timezone.now())
        except ValidationError as refused:
            form.add_error("people" if hasattr(refused, "error_dict") else None, refused.messages)
        else:
            messages.success(request, _("Your booking is changed."))
            return _back(request, token)
    context = shown(request, booking.workshop) | {"form": form, "token": token}
    answer = public_page(request, "workshops/public/booking_change.html", context)
    answer.status_code = 422 if form.errors else 200
    return answer


@login_not_required
@require_http_methods(["GET", "POST"])
@in_residents_language
@by_link("offer")
def my_offer(request: HttpRequest, said: dict[str, Any], token: str) -> HttpResponse:
    """Room came free: yes or no."""
    offer = Offer.objects.with_people().get(pk=said["offer"])
    if request.method == "POST":
        act = answering_offers.accept if request.POST.get("answer") == "yes" else answering_offers.decline
        try:
            act(offer=offer, at=timezone.now())
        except ValidationError as refused:
            messages.error(request, " ".join(refused.messages))
        return redirect(request.get_full_path())
    context = shown(request, offer.workshop) | {
        "offer": offer,
        "token": token,
        "places": sayings.places(offer.places),
        "until": sayings.moment(offer.until_at) if offer.until_at else "",
        "is_over": not offer.is_open or (offer.until_at is not None and timezone.now() >= offer.until_at),
    }
    return public_page(request, "workshops/public/offer.html", context)


def _is_to_come(workshop: Workshop) -> bool:
    return timezone.now() < workshop.begins_at and not workshop.is_settled


def _too_late(request: HttpRequest, token: str) -> HttpResponse:
    """The same whoever came: whoever merely signed somebody up does not learn it here."""
    messages.error(request, _("This workshop has begun, so nothing can be changed here any more."))
    return _back(request, token)


def _back(request: HttpRequest, token: str) -> HttpResponse:
    address = redirect("my_booking", token)
    address["Location"] += kept_query(request)
    return address
