"""The outbox on screen: what waits, what was sent, what was given up and why."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from outreach.post import calling, kinds, outbox, sending
from outreach.post.filters import MessageFilter
from outreach.post.models import Message
from outreach.staff.roles import OFFICE, StaffRequest, may

ROWS_A_PAGE = 50


@require_GET
@may(*OFFICE)
def message_list(request: StaffRequest) -> HttpResponse:
    """Messages, the latest first, with what waits for a person above them."""
    narrowed = MessageFilter(request.GET or None, queryset=Message.objects.all())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    context = {"filter": narrowed, "page": page}
    template = "post/messages.html"
    if request.htmx:  # type: ignore[attr-defined]
        template += "#rows"
    else:
        context |= _what_waits()
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


def _what_waits() -> dict[str, int | bool]:
    at = timezone.now()
    return {
        "calls": calling.to_call(at).count(),
        "letters": Message.objects.letters().due(at).count(),
        "given_up": Message.objects.given_up().count(),
        "mails": Message.objects.mails().queued().count(),
        "has_server": sending.has_server(),
    }


@require_GET
@may(*OFFICE)
def message(request: StaffRequest, pk: int) -> HttpResponse:
    """One message as it goes out, how it fared, and what can be done about it."""
    shown = get_object_or_404(Message.objects.select_related("settled_by"), pk=pk)
    channel = Message.Channel
    context = {
        "message": shown,
        "title": kinds.title_of(shown.kind),
        "may_queue": bool(shown.body) and not shown.was_told and not shown.is_useless(timezone.now()),
        "other_ways": [
            way for way in shown.ways() if way != shown.channel and way in (channel.CALL, channel.LETTER)
        ],
    }
    return render(request, "post/message.html", context)


@require_POST
@may(*OFFICE)
def message_step(request: StaffRequest, pk: int, step: str) -> HttpResponse:
    """Try again, call or write instead, or leave it."""
    shown = get_object_or_404(Message, pk=pk)
    if step not in outbox.STEPS:
        raise Http404
    try:
        now = outbox.STEPS[step](message=shown, by=request.user, at=timezone.now())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    else:
        words = _("The message is now: %(state)s, by %(way)s.")
        messages.success(
            request, words % {"state": now.get_state_display(), "way": now.get_channel_display()}
        )
    return redirect("message", pk)
