"""The Door of a workshop as it goes on, and its closing."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.door import applying, closing, live
from outreach.door.forms import ClosingForm
from outreach.door.letting_in import table_of
from outreach.door.models import Closing, Device
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops.models import Registration, Workshop


@require_GET
@may(*WITH_CONTACT_DATA)
def now(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """People in, bins left, exceptions, devices; the fragment alone where the page asks again by itself."""
    workshop = get_object_or_404(Workshop.objects.with_names(), pk=workshop_id)
    at = timezone.now()
    table_of(workshop)
    applying.apply_left_over(workshop=workshop, at=at)
    context = {
        "workshop": workshop,
        "people_in": live.people_in(workshop),
        "expected": Registration.objects.at(workshop).booked().people(),
        "shelves": live.shelves(workshop),
        "exceptions": live.exceptions(workshop),
        "held": live.held(workshop),
        "devices": [(device, live.may_hold(device, at)) for device in Device.objects.of(workshop)],
        "at": at,
        "may_rule": request.user.role in OFFICE,
    }
    template = "door/live.html#now" if request.htmx else "door/live.html"  # type: ignore[attr-defined]
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def close(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """Count what is left, say why it differs, and close the workshop."""
    workshop = get_object_or_404(Workshop.objects.with_names(), pk=workshop_id)
    at = timezone.now()
    table_of(workshop)
    out = live.that_may_hold_something(workshop, at)
    form = ClosingForm(request.POST or None, workshop=workshop, devices_left=len(out))
    if form.is_valid():
        try:
            closing.close(workshop=workshop, counted=form.counted(), by=request.user, at=at)
        except ValidationError as problem:
            form.add_error(None, problem.messages)
        else:
            messages.success(request, _("The workshop is closed, and what was counted is written down."))
            return redirect("workshop", workshop_id)
    context = {
        "workshop": workshop,
        "form": form,
        "out": out,
        "held": live.held(workshop),
        "people": closing.people_of(workshop),
        "missing": Registration.objects.at(workshop).booked().with_people(),
        "closings": Closing.objects.of(workshop),
    }
    return render(request, "door/close.html", context, status=422 if form.errors else 200)
