"""Today's call list: whom to call, what to say in their language, and one key for what came of it."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from outreach.post import calling, settling
from outreach.post.models import Message
from outreach.staff.roles import OFFICE, StaffRequest, may


@require_GET
@may(*OFFICE)
def calls(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    settling.lay_aside_useless(at)
    context = {
        "calls": calling.to_call(at),
        "later": Message.objects.calls().later_than(at).count(),
    }
    return render(request, "post/calls.html", context)


@require_POST
@may(*OFFICE)
def call_outcome(request: StaffRequest, pk: int) -> HttpResponse:
    """What came of one call."""
    shown = get_object_or_404(Message, pk=pk)
    act = calling.OUTCOMES.get(request.POST.get("outcome", ""))
    if act is None:
        messages.error(request, _("Say what came of the call: said, not reached, or wrong number."))
        return redirect("calls")
    now = act(message=shown, by=request.user, at=timezone.now())
    messages.success(request, _what_came_of(now))
    return redirect("calls")


def _what_came_of(message: Message) -> str:
    name = {"name": message.recipient_name}
    if message.state == Message.State.SAID:
        return _("%(name)s: said.") % name
    if message.state == Message.State.GIVEN_UP:
        return _("%(name)s: given up, since there is no other way to reach them.") % name
    if message.channel == Message.Channel.LETTER:
        return _("%(name)s: now among the letters to print.") % name
    again = timezone.localtime(message.next_try_at)
    return _("%(name)s: not reached. Call again from %(hour)s on.") % {**name, "hour": f"{again:%H:%M}"}
