"""Consent by the link in a message, without signing in; and as told to the office."""

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from outreach.households import consent
from outreach.households.models import Household
from outreach.post import links
from outreach.post.links import LinkBroken
from outreach.post.residents_language import in_residents_language, public_page
from outreach.staff.roles import OFFICE, StaffRequest, may


# Opening the link changes nothing: mail filters open links to look at them.
@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@in_residents_language
def by_link(request: HttpRequest, token: str) -> HttpResponse:
    """The button; the page never says whose link it is."""
    try:
        payload = links.read(consent.LINK, token)
        household = Household.objects.numbered([payload["household"]]).first()
        if household is None:
            raise LinkBroken
    except LinkBroken as broken:
        response = public_page(request, "post/link_broken.html", {"sentence": str(broken)})
        response.status_code = 404
        return response
    said = {"household": household, "purpose": payload["purpose"]}
    if request.method == "POST":
        consent.say(**said, is_given="again" in request.POST, how=consent.How.LINK, at=timezone.now())
    may_ask = consent.may_ask(**said)
    context = {"may_ask": may_ask, "is_said": request.method == "POST"}
    response = public_page(request, "households/consent.html", context)
    # Not "no-referrer": under that a browser posts the button with no origin, and it is refused.
    response["Referrer-Policy"] = "same-origin"
    return response


@require_POST
@may(*OFFICE)
def told_office(request: StaffRequest, pk: int) -> HttpResponse:
    household = get_object_or_404(Household, pk=pk)
    is_given = request.POST.get("may_be_asked") == "yes"
    consent.say(
        household=household,
        purpose=consent.Purpose.FOLLOW_UP,
        is_given=is_given,
        how=consent.How.OFFICE,
        at=timezone.now(),
        by=request.user,
    )
    messages.success(
        request, _("They may be asked again.") if is_given else _("They are not asked any more.")
    )
    return redirect("household", pk)
