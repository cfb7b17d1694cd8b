"""The page of households to call next; it stands under Follow-up."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_POST

from outreach.filings.calling_next import MOST_CALLS, calls_next
from outreach.filings.gathering import Scope
from outreach.followup import calling, phone_script
from outreach.followup.models import Answer, FollowUpCall
from outreach.households.models import Household
from outreach.staff.roles import OFFICE, READERS, StaffRequest, may

Reply = FollowUpCall.Reply
SAID = {
    Reply.NO_REPLY: gettext_lazy("%(household)s: no reply. They come up again tomorrow."),
    Reply.NOT_TO_CALL: gettext_lazy("%(household)s is not called any more."),
    Reply.MAY_CALL: gettext_lazy("%(household)s may be called again."),
}


@require_GET
@may(*READERS)
def call_next(request: StaffRequest) -> HttpResponse:
    """Whom to call, in the order in which answers narrow the interval most; names only for the office."""
    at = timezone.now()
    not_called = calling.not_called_now(at)
    found = calls_next(scope=Scope(jurisdiction=None), on=timezone.localdate(at), but=not_called)
    sees_people = request.user.role in OFFICE
    context = {
        "list": found,
        "most": MOST_CALLS,
        "sees_people": sees_people,
        "scripts": phone_script.in_each_language() if sees_people else [],
        "not_to_call": Household.objects.numbered(calling.not_to_call()) if sees_people else [],
        "left_out": len(not_called),
    }
    return render(request, "filings/call_next.html", context)


@require_POST
@may(*OFFICE)
def call_logged(request: StaffRequest, household_id: int) -> HttpResponse:
    """What came of one call; whoever answered is written down in the form that opens."""
    household = get_object_or_404(Household, pk=household_id)
    reply = request.POST.get("reply", "")
    if reply not in Reply.values:
        messages.error(request, _("Say what came of the call: no reply, answered, or not to be called."))
        return redirect("call_next")
    calling.record(household=household, reply=reply, by=request.user, at=timezone.now())
    if reply == Reply.ANSWERED:
        query = urlencode({"channel": Answer.Channel.PHONE})
        return redirect(reverse("answer_add", args=[household_id]) + f"?{query}")
    messages.success(request, SAID[Reply(reply)] % {"household": household})
    return redirect("call_next")
