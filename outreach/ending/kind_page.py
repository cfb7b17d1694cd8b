"""Once sign-up is closed for good, old links of residents lead to a page that says so kindly."""

from collections.abc import Callable
from typing import Any

from django.http import HttpRequest, HttpResponse, HttpResponseBase

from outreach.ending import closing
from outreach.ending.models import EndStep
from outreach.post.residents_language import in_residents_language, public_page

# The list of workshops is a page to look at; the others did something that is gone for good.
STILL_A_PAGE = {"public_workshops"}
GONE = {
    "public_workshop",
    "public_calendar",
    "workshop_calendar",
    "sign_up",
    "my_booking",
    "my_booking_step",
    "my_booking_change",
    "my_offer",
    "my_answer",
    "my_answer_more",
    "my_answer_kept",
    "ask_for_help",
    "help_asked",
    "help_outcome",
}
# Whoever is forgotten has nothing left to take back or to end.
GONE_WITH_CONTACT_DATA = {"consent", "unsubscribe"}


class KindPage:
    """Answers in place of the closed pages of residents; staff go on reading everything of theirs."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, *view: Any) -> HttpResponse | None:
        name = getattr(request.resolver_match, "url_name", "")
        if name in STILL_A_PAGE | GONE and closing.is_done(EndStep.Step.SIGN_UP):
            return _kindly(request, status=200 if name in STILL_A_PAGE else 410)
        if name in GONE_WITH_CONTACT_DATA and closing.is_done(EndStep.Step.CONTACT_DATA):
            return _kindly(request, status=410)
        return None


@in_residents_language
def _kindly(request: HttpRequest, *, status: int) -> HttpResponse:
    answer = public_page(request, "ending/ended.html", {})
    answer.status_code = status
    answer["X-Robots-Tag"] = "noindex"
    return answer
