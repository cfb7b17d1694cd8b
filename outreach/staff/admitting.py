"""What every request passes: signed in, and with a password of one's own."""

from collections.abc import Callable
from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import redirect
from django.urls import reverse


class SignInRequired(LoginRequiredMiddleware):
    """The whole site behind sign-in; a fragment asked for by htmx moves the whole page there."""

    def handle_no_permission(self, request: HttpRequest, view_func: Callable[..., Any]) -> HttpResponseBase:  # type: ignore[override]
        # Base classes answer with a redirect; htmx follows one inside the fragment it asked for.
        answer = super().handle_no_permission(request, view_func)
        return _whole_page(request, answer)


class OwnPasswordFirst:
    """Whoever has a one-time password chooses their own before anything else."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *view: Any) -> HttpResponseBase | None:
        if not getattr(request.user, "password_is_one_time", False):
            return None
        if request.path in (reverse("own_password"), reverse("sign_out")):
            return None
        return _whole_page(request, redirect("own_password"))


def _whole_page(request: HttpRequest, answer: HttpResponseBase) -> HttpResponseBase:
    if "HX-Request" in request.headers and "Location" in answer.headers:
        return HttpResponse(status=204, headers={"HX-Redirect": answer.headers["Location"]})
    return answer
