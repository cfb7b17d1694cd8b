"""Season: what is next, what is due, what runs short."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from outreach.site.season_facts import season_facts
from outreach.staff.roles import EVERYONE, OFFICE, WHOLE_TRAIL_READERS, StaffRequest, may


@require_GET
@may(*EVERYONE)
def season(request: StaffRequest) -> HttpResponse:
    context = {
        "facts": season_facts(on=timezone.localdate(), at=timezone.now()),
        "is_office": request.user.role in OFFICE,
        "today": timezone.localdate(),
        "reads_trail": request.user.role in WHOLE_TRAIL_READERS,
    }
    return render(request, "site/season.html", context)
