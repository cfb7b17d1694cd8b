"""Set-up of the follow-up waves."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.followup.forms import WaveForm
from outreach.followup.models import Wave
from outreach.staff import audit
from outreach.staff.roles import OFFICE, may


@require_GET
@may(*OFFICE)
def waves(request: HttpRequest) -> HttpResponse:
    return render(request, "followup/waves.html", {"waves": Wave.objects.with_answers()})


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def wave_add(request: HttpRequest) -> HttpResponse:
    return _form_page(request, None)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def wave_edit(request: HttpRequest, wave_id: int) -> HttpResponse:
    return _form_page(request, get_object_or_404(Wave, pk=wave_id))


def _form_page(request: HttpRequest, wave: Wave | None) -> HttpResponse:
    form = WaveForm(request.POST or None, instance=wave)
    if form.is_valid():
        form.save()
        messages.success(request, _("The wave is saved."))
        return redirect("waves")
    context = {"form": form, "wave": wave, "entries": audit.entries_of(wave) if wave else []}
    return render(request, "followup/wave_form.html", context, status=422 if form.errors else 200)
