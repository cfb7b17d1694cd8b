"""Who was asked: who has answered, who is due, who was silent; how and after how many reminders they answered."""

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from outreach.followup import asking_figures
from outreach.followup.filters import InvitationFilter
from outreach.followup.models import Invitation
from outreach.staff.roles import OFFICE, READERS, StaffRequest, may

ROWS_A_PAGE = 50


@require_GET
@may(*READERS)
def asked(request: StaffRequest) -> HttpResponse:
    """The figures follow the wave that the list is narrowed to; streets only for the office."""
    on = timezone.localdate()
    narrowed = InvitationFilter(request.GET or None, queryset=Invitation.objects.with_standing())
    wave = narrowed.form.cleaned_data.get("wave") if narrowed.form.is_bound and narrowed.is_valid() else None
    every = Invitation.objects.of_wave(wave) if wave else Invitation.objects.all()
    context = {
        "filter": narrowed,
        "page": Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page")),
        "on": on,
        "counts": {
            "asked": every.count(),
            "answered": every.with_answer().count(),
            "due": every.due(on).count(),
            "silent": every.silent(on).count(),
        },
        "by_reminders": asking_figures.by_reminders(wave),
        "by_channel": asking_figures.by_channel(wave),
        "postcards": Invitation.objects.takes_answers(on).wants_postcard().count(),
        "sees_people": request.user.role in OFFICE,
    }
    return render(request, "followup/asked.html", context)
