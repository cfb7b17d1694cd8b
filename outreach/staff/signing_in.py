"""Signing in: only people who are active and whose access has not ended."""

from typing import Any

from axes.helpers import get_client_ip_address, get_cool_off
from axes.models import AccessAttempt
from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.forms import AuthenticationForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from outreach.staff.models import StaffMember


class CurrentStaffBackend(ModelBackend):
    """Django's own check of name and password, for people whose access stands today.

    Django asks it again at every request, so whoever is deactivated, or whose last day has passed, is
    out at the next one.
    """

    def user_can_authenticate(self, user: object) -> bool:
        return (
            isinstance(user, StaffMember)
            and user.deactivated_at is None
            and (user.ends_on is None or user.ends_on >= timezone.localdate())
        )


def as_sign_in_name(written: str) -> str:
    """The one spelling of a sign-in name: lower case, no spaces around it."""
    return written.strip().lower()


class SignInForm(AuthenticationForm):
    """Sign-in name and password; one sentence for every way of being wrong."""

    error_messages = {
        "invalid_login": _("That sign-in name and password do not go together, or access has ended."),
        "inactive": _("That sign-in name and password do not go together, or access has ended."),
    }

    def clean_username(self) -> str:
        return as_sign_in_name(self.cleaned_data["username"])


def name_tried(request: HttpRequest, credentials: dict[str, Any] | None = None) -> str:
    """The sign-in name under which attempts are counted, however it was typed."""
    return as_sign_in_name((credentials or {}).get("username") or request.POST.get("username", ""))


def locked_page(
    request: HttpRequest, answer: HttpResponse | None, credentials: dict[str, Any] | None
) -> HttpResponse:
    """The answer to too many attempts: until when no further one is looked at."""
    latest = (
        AccessAttempt.objects.filter(
            username=name_tried(request, credentials), ip_address=get_client_ip_address(request)
        )
        .order_by("-attempt_time")
        .first()
    )
    until = (latest.attempt_time if latest else timezone.now()) + get_cool_off(request)
    return render(request, "staff/locked.html", {"until": until}, status=429)
