"""What is printed for a workshop: flyers, the sign-in sheet, the waiver, address labels."""

import io
from collections.abc import Callable
from typing import BinaryIO

from django.forms import Form
from django.http import FileResponse, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_safe

from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops.models import Booking, Registration, WaiverText, Workshop
from outreach.workshops.papers import flyer, labels, sign_in_sheet
from outreach.workshops.printing_forms import FlyerForm, LabelsForm


@require_safe
@may(*WITH_CONTACT_DATA)
def workshop_print(request: StaffRequest, workshop_id: int) -> HttpResponse:
    """What there is to print, and how many each flyer brought."""
    return _page(request, _workshop(workshop_id))


def _page(request: StaffRequest, shown: Workshop, **forms: Form) -> HttpResponse:
    context = {
        "workshop": shown,
        "people": Registration.objects.at(shown).on_the_list().people(),
        "standby": Registration.objects.at(shown).on_standby().people(),
        "waiver": WaiverText.objects.current(),
        "flyer_form": FlyerForm(),
        "labels_form": LabelsForm(),
        "marks": Booking.objects.at(shown).by_mark(),
        "may_plan": request.user.role in OFFICE,
    } | forms
    return render(request, "workshops/print.html", context, status=422 if forms else 200)


@require_safe
@may(*WITH_CONTACT_DATA)
def workshop_sheet(request: HttpRequest, workshop_id: int) -> FileResponse:
    """The sign-in sheet: whoever is on the list, by name, who stands by, in order, then lines for walk-ins."""
    workshop = _workshop(workshop_id)
    waiver = WaiverText.objects.current()
    return _pdf(
        lambda target: sign_in_sheet.write(workshop, _listed(workshop), waiver, target),
        f"sign-in-sheet-{workshop.held_on}.pdf",
    )


@require_safe
@may(*WITH_CONTACT_DATA)
def workshop_waiver(request: HttpRequest, workshop_id: int) -> HttpResponse | FileResponse:
    """The waiver in force in every language; where none was written, the page where it is."""
    waiver = WaiverText.objects.current()
    if not waiver:
        return redirect("workshop_print", workshop_id)
    return _pdf(lambda target: sign_in_sheet.write_waiver(waiver, target), "waiver.pdf")


@require_safe
@may(*OFFICE)
def workshop_labels(request: StaffRequest, workshop_id: int) -> HttpResponse | FileResponse:
    """One label for each household on the list, on the sheet that was chosen."""
    workshop, form = _workshop(workshop_id), LabelsForm(request.GET)
    if not form.is_valid():
        return _page(request, workshop, labels_form=form)
    sheet, used = labels.SHEETS[form.cleaned_data["size"]], form.cleaned_data["used"] or 0
    addresses = labels.addresses_of(_listed(workshop))
    return _pdf(lambda target: labels.write(addresses, sheet, target, used=used), "labels.pdf")


@require_safe
@may(*OFFICE)
def workshop_flyer(request: HttpRequest, workshop_id: int) -> HttpResponse | FileResponse:
    """A flyer with the mark that was given."""
    workshop, form = _workshop(workshop_id), FlyerForm(request.GET)
    if not form.is_valid():
        return redirect("workshop_print", workshop_id)
    mark = form.cleaned_data["mark"]
    name = "-".join(filter(None, ("flyer", str(workshop.held_on), mark)))
    return _pdf(lambda target: flyer.write(workshop, target, mark=mark), f"{name}.pdf")


def _workshop(number: int) -> Workshop:
    return get_object_or_404(Workshop.objects.with_names(), pk=number)


def _listed(workshop: Workshop) -> list[Registration]:
    return list(Registration.objects.at(workshop).as_on_paper().with_people())


def _pdf(write: Callable[[BinaryIO], None], name: str) -> FileResponse:
    target = io.BytesIO()
    write(target)
    target.seek(0)
    return FileResponse(target, filename=name, content_type="application/pdf")
