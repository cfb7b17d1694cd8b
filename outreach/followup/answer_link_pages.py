"""The pages on which a household answers through its link. No sign-in; whoever has the link may, and nobody else.

They name nobody and no address, and a link that was made up reads like one whose invitation is gone.
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from outreach.followup import answering_by_link, invitation_links
from outreach.followup.invitation_links import Followed
from outreach.followup.link_forms import FirstPage, SecondPage
from outreach.households import consent
from outreach.post.links import LinkBroken
from outreach.post.residents_language import in_residents_language, public_page
from outreach.workshops.public_pages import kept_query

View = Callable[..., HttpResponse]


def by_link(view: View) -> View:
    """Hand the invitation to the view; a broken link, or one whose time is over, is a page in words."""

    @wraps(view)
    def followed(request: HttpRequest, token: str) -> HttpResponse:
        on = timezone.localdate()
        try:
            found = invitation_links.followed(token, on=on)
        except LinkBroken as broken:
            answer = public_page(request, "post/link_broken.html", {"sentence": str(broken)})
            answer.status_code = 404
        else:
            invitation = found.invitation
            if invitation is None or not invitation_links.takes_answers(invitation, on=on):
                context = {"was_asked": invitation is not None, "keep": kept_query(request)}
                answer = public_page(request, "followup/by_link/closed.html", context)
                answer.status_code = 410 if invitation else 200
            else:
                answer = view(request, found, token)
        answer["Cache-Control"] = "private, no-store"
        answer["X-Robots-Tag"] = "noindex"
        # Not "no-referrer": under that a browser posts the form with no origin, and it is refused.
        answer["Referrer-Policy"] = "same-origin"
        return answer

    return followed


# Opening a link changes nothing: mail filters open links to look at them.
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@in_residents_language
@by_link
def my_answer(request: HttpRequest, found: Followed, token: str) -> HttpResponse:
    """Still composting, and how much."""
    form = FirstPage(request.POST or None, initial=_said(found))
    if form.is_valid() and _is_kept(request, found, form):
        return _on(request, "my_answer_more", token)
    return _page(request, "followup/by_link/first.html", found, token, form=form)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@in_residents_language
@by_link
def my_answer_more(request: HttpRequest, found: Followed, token: str) -> HttpResponse:
    """Browns, before, problems, harvest. Whoever has not seen the first page is sent there."""
    invitation = _invitation(found)
    if "composting" not in invitation.said:
        return _on(request, "my_answer", token)
    asks_before = answering_by_link.asks_before(invitation)
    initial = {**_said(found), "may_ask": answering_by_link.said_of_consent(invitation)}
    form = SecondPage(request.POST or None, initial=initial, asks_before=asks_before)
    if form.is_valid() and _is_kept(request, found, form):
        return _on(request, "my_answer_kept", token)
    return _page(request, "followup/by_link/second.html", found, token, form=form)


@login_not_required
@require_safe
@in_residents_language
@by_link
def my_answer_kept(request: HttpRequest, found: Followed, token: str) -> HttpResponse:
    """Thanks, until when it can be corrected, and the ways to help and to be asked no more."""
    return _page(request, "followup/by_link/kept.html", found, token)


def _invitation(found: Followed) -> Any:
    return found.invitation


def _said(found: Followed) -> dict[str, Any]:
    return dict(_invitation(found).said)


def _is_kept(request: HttpRequest, found: Followed, form: FirstPage | SecondPage) -> bool:
    """Whether the page was kept; where the office has worked on the answer, say whom to tell instead."""
    invitation, at = _invitation(found), timezone.now()
    try:
        answering_by_link.keep(invitation=invitation, said=form.said(), channel=found.channel, at=at)
    except ValidationError:
        words = _("The office has already worked on your answer. Please tell the office what should change.")
        form.add_error(None, words)
        return False
    answering_by_link.note_consent(invitation=invitation, word=form.consent(), at=at)
    return True


def _page(
    request: HttpRequest, template: str, found: Followed, token: str, *, form: Any = None
) -> HttpResponse:
    invitation = _invitation(found)
    context = {
        "form": form,
        "invitation": invitation,
        "token": token,
        "keep": kept_query(request),
        "has_answered": bool(invitation.said) or invitation.settled_because == "answered",
        "stop_path": consent.path_of(invitation.household, consent.Purpose.FOLLOW_UP),
    }
    answer = public_page(request, template, context)
    answer.status_code = 422 if form is not None and form.errors else 200
    return answer


def _on(request: HttpRequest, name: str, token: str) -> HttpResponse:
    return redirect(reverse(name, args=[token]) + kept_query(request))
