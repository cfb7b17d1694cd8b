"""The page of households to call next; it stands under Follow-up."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from outreach.filings.calling_next import MOST_CALLS, calls_next
from outreach.filings.gathering import Scope
from outreach.staff.roles import OFFICE, READERS, StaffRequest, may


@require_GET
@may(*READERS)
def call_next(request: StaffRequest) -> HttpResponse:
    """Whom to call, in the order in which answers narrow the interval most; names only for the office."""
    context = {
        "list": calls_next(scope=Scope(jurisdiction=None), on=timezone.localdate()),
        "most": MOST_CALLS,
        "sees_people": request.user.role in OFFICE,
    }
    return render(request, "filings/call_next.html", context)
