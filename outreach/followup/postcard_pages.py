"""Postcards: printed for one wave, then noted as mailed."""

import io

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_GET, require_POST

from outreach.followup import postcards, waves
from outreach.followup.models import Wave
from outreach.followup.papers import postcard
from outreach.followup.postcards import Card
from outreach.staff.roles import OFFICE, StaffRequest, may


@require_GET
@may(*OFFICE)
def postcards_due(request: StaffRequest) -> HttpResponse:
    """Wave by wave who gets a postcard."""
    by_wave = [(wave, _due(wave)) for wave in waves.open_waves()]
    context = {"by_wave": [(wave, cards) for wave, cards in by_wave if cards]}
    return render(request, "followup/postcards.html", context)


@require_GET
@may(*OFFICE)
def postcards_pdf(request: StaffRequest, wave_id: int) -> HttpResponse | FileResponse:
    """A page for each; they stay due until somebody says that they were mailed."""
    wave = get_object_or_404(Wave, pk=wave_id)
    cards = _due(wave)
    if not cards:
        messages.info(request, _("No postcard is due in this wave."))
        return redirect("postcards_due")
    target = io.BytesIO()
    postcard.write(cards, target)
    target.seek(0)
    name = f"postcards-{wave.months_after}-months-{timezone.localdate():%Y-%m-%d}.pdf"
    return FileResponse(target, filename=name, content_type="application/pdf")


@require_POST
@may(*OFFICE)
def postcards_mailed(request: StaffRequest, wave_id: int) -> HttpResponse:
    """The cards of these numbers are on their way."""
    get_object_or_404(Wave, pk=wave_id)
    numbers = [int(one) for one in request.POST.getlist("card") if one.isascii() and one.isdigit()]
    count = postcards.mailed(invitations=numbers, at=timezone.now())
    words = ngettext(
        "%(count)d postcard is noted as mailed.", "%(count)d postcards are noted as mailed.", count
    )
    messages.success(request, words % {"count": count})
    return redirect("postcards_due")


def _due(wave: Wave) -> list[Card]:
    languages = [code for code, _name in settings.LANGUAGES]
    return postcards.due(wave, on=timezone.localdate(), languages=languages)
