"""Door passes: making one and printing its card, taking one back, and the table that bins come from."""

import segno
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_http_methods, require_POST

from outreach.door import passing
from outreach.door.forms import PassForm, TableForm
from outreach.door.letting_in import table_of
from outreach.door.models import Device, DoorPass
from outreach.post.links import public_url
from outreach.staff.roles import OFFICE, StaffRequest, may
from outreach.workshops.models import Workshop


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
@never_cache
def passes(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """The passes of a workshop; a new one is answered with its card, since its code is shown only then."""
    workshop = get_object_or_404(Workshop.objects.with_names(), pk=workshop_id)
    form = PassForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        may_except = form.cleaned_data["may_except"]
        try:
            made = passing.make_pass(
                workshop=workshop, may_except=may_except, by=request.user, at=timezone.now()
            )
        except ValidationError as problem:
            form.add_error(None, problem)
        else:
            return render(request, "door/pass_card.html", {"workshop": workshop, **_card(made)})
    context = {
        "workshop": workshop,
        "form": form,
        "table_form": TableForm(instance=table_of(workshop)),
        "passes": [(one, one.is_good(timezone.now())) for one in DoorPass.objects.of(workshop).with_makers()],
        "devices": Device.objects.of(workshop),
    }
    return render(request, "door/passes.html", context, status=422 if form.errors else 200)


def _card(made: passing.NewPass) -> dict[str, object]:
    address = public_url(f"{reverse('door_start')}#pass={made.code}")
    image = segno.make(address, error="m").svg_data_uri(scale=5, border=4)
    return {
        "door_pass": made.door_pass,
        "code": made.code,
        "image": image,
        "address": public_url(reverse("door_start")),
    }


@require_POST
@may(*OFFICE)
def revoke(request: StaffRequest, pass_id: int) -> HttpResponse:
    """End a pass now, with the devices that it let in."""
    door_pass = get_object_or_404(DoorPass, pk=pass_id)
    passing.revoke_pass(door_pass=door_pass, by=request.user, at=timezone.now())
    messages.success(request, _("The pass has ended. What its devices still send waits for you."))
    return redirect("door_passes", door_pass.workshop_id)


@require_POST
@may(*OFFICE)
def revoke_device(request: StaffRequest, device_id: int) -> HttpResponse:
    """Take one device off the Door."""
    device = get_object_or_404(Device, pk=device_id)
    passing.revoke_device(device=device, by=request.user, at=timezone.now())
    messages.success(request, _("The device is off the Door. What it still sends waits for you."))
    return redirect("door_live", device.workshop_id)


@require_POST
@may(*OFFICE)
def table(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """Say from which store or table the bins of this Door come."""
    workshop = get_object_or_404(Workshop, pk=workshop_id)
    form = TableForm(request.POST, instance=table_of(workshop))
    if form.is_valid():
        form.save()
        messages.success(
            request, _("Bins of this Door come from %(place)s.") % {"place": form.instance.place}
        )
    else:
        messages.error(request, _("Choose a store, table or van."))
    return redirect("door_passes", workshop_id)
