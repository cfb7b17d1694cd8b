"""Set-up of the programme's own containers."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from diversion.containers import STANDARD
from outreach.followup.container_form import OwnContainerForm
from outreach.followup.models import OwnContainer
from outreach.staff import audit
from outreach.staff.roles import OFFICE, may


@require_GET
@may(*OFFICE)
def own_containers(request: HttpRequest) -> HttpResponse:
    """The programme's own, and those that are always known."""
    context = {"containers": OwnContainer.objects.all(), "standard": STANDARD.containers}
    return render(request, "followup/containers.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def own_container_add(request: HttpRequest) -> HttpResponse:
    return _form_page(request, None)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def own_container_edit(request: HttpRequest, container_id: int) -> HttpResponse:
    return _form_page(request, get_object_or_404(OwnContainer, pk=container_id))


def _form_page(request: HttpRequest, container: OwnContainer | None) -> HttpResponse:
    form = OwnContainerForm(request.POST or None, instance=container)
    if form.is_valid():
        form.save()
        messages.success(
            request,
            _("The container is saved. Answers read before stay as they are; correct those it changes."),
        )
        return redirect("own_containers")
    context = {
        "form": form,
        "container": container,
        "entries": audit.entries_of(container) if container else [],
    }
    return render(request, "followup/container_form.html", context, status=422 if form.errors else 200)
