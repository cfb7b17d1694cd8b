"""No more reminders: whoever holds the link of a message says so with one click, without signing in."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_http_methods

from outreach.post import links, unsubscribing
from outreach.post.links import LinkBroken
from outreach.post.residents_language import in_residents_language, public_page


# The mailbox posts here for its reader (RFC 8058), so there is no form of ours to take a token from; the
# signed link is the proof. Opening the link changes nothing, since mail filters open links to look at them.
@csrf_exempt
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@in_residents_language
def unsubscribe(request: HttpRequest, token: str) -> HttpResponse:
    """The button; pressed, it says that no more reminders come, and never to whom they came."""
    try:
        who = links.read(unsubscribing.PURPOSE, token)
    except LinkBroken as broken:
        response = public_page(request, "post/link_broken.html", {"sentence": str(broken)})
        response.status_code = 404
        return response
    state = "asked"
    if request.method == "POST" and "again" in request.POST:
        unsubscribing.subscribe_again(who=who)
        state = "again"
    elif request.method == "POST":
        unsubscribing.unsubscribe(who=who, at=timezone.now())
        state = "done"
    response = public_page(request, "post/unsubscribe.html", {"state": state})
    response["Referrer-Policy"] = "no-referrer"
    return response
