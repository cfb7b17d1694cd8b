"""Letters: printed together, then noted as printed."""

import io
from collections.abc import Sequence

from django.contrib import messages
from django.http import FileResponse, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from outreach.post import settling
from outreach.post.letters import write_letters
from outreach.post.models import Message
from outreach.staff.roles import OFFICE, StaffRequest, may


@require_GET
@may(*OFFICE)
def letters(request: StaffRequest) -> HttpResponse:
    settling.lay_aside_useless(timezone.now())
    return render(request, "post/letters.html", {"letters": _due()})


@require_GET
@may(*OFFICE)
def letters_pdf(request: StaffRequest) -> HttpResponse | FileResponse:
    """All letters that wait, each from a page of its own; they wait until somebody says they were printed."""
    waiting = _due()
    if not waiting:
        messages.info(request, _("No letter waits."))
        return redirect("letters")
    return _pdf(waiting, name=f"letters-{timezone.localdate():%Y-%m-%d}.pdf")


@require_GET
@may(*OFFICE)
def letter(request: StaffRequest, pk: int) -> FileResponse:
    """One message as a letter, whatever became of it."""
    return _pdf([get_object_or_404(Message, pk=pk)], name=f"letter-{pk}.pdf")


@require_POST
@may(*OFFICE)
def letters_printed(request: StaffRequest) -> HttpResponse:
    """The letters of these numbers are on their way."""
    numbers = [int(one) for one in request.POST.getlist("letter") if one.isascii() and one.isdigit()]
    waiting = Message.objects.letters().queued()
    count = sum(
        settling.note_told(
            message=one, still=waiting, state=Message.State.PRINTED, at=timezone.now(), by=request.user
        )
        for one in waiting.numbered(numbers)
    )
    words = ngettext(
        "%(count)d letter is noted as printed.", "%(count)d letters are noted as printed.", count
    )
    messages.success(request, words % {"count": count})
    return redirect("letters")


def _due() -> list[Message]:
    return list(Message.objects.letters().due(timezone.now()).in_order())


def _pdf(waiting: Sequence[Message], *, name: str) -> FileResponse:
    target = io.BytesIO()
    write_letters(waiting, target, on=timezone.localdate())
    target.seek(0)
    return FileResponse(target, filename=name, content_type="application/pdf")
