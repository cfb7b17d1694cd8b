"""What is done about a help request: a call, a visit, closing it, telling the authority."""

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from outreach.bins.form_page import FormPage
from outreach.bins.refusals import succeeds
from outreach.coaching import helping
from outreach.coaching.help_forms import CloseForm, ReportBackForm, StepForm, VisitForm
from outreach.coaching.help_pages import act_of
from outreach.coaching.helping import Seen
from outreach.coaching.models import HelpRequest
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, StaffRequest, may


def _shown(pk: int) -> HelpRequest:
    return get_object_or_404(HelpRequest.objects.with_details(), pk=pk)


def _page(shown: HelpRequest, heading: str, button: str, **more: Any) -> FormPage:
    url = reverse("help_request", args=[shown.pk])
    trail = ((_("Help"), reverse("help")), (str(shown), url))
    return FormPage(heading=heading, button=button, back_url=url, trail=trail, is_elsewhere=True, **more)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def help_step(request: StaffRequest, pk: int) -> HttpResponse:
    shown = _shown(pk)
    form = StepForm(request.POST or None, initial={"on": timezone.localdate(), **request.GET.dict()})
    if form.is_valid() and succeeds(
        form, lambda: helping.record_step(request=shown, **form.cleaned_data, act=act_of(request))
    ):
        messages.success(request, _("Written down."))
        return redirect("help_request", pk)
    return _page(shown, _("Record a call or advice"), _("Write it down")).answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def help_visit(request: StaffRequest, pk: int) -> HttpResponse:
    shown = _shown(pk)
    form = VisitForm(
        request.POST or None,
        initial={"visited_on": timezone.localdate(), "visited_by": request.user.full_name},
    )
    if form.is_valid() and succeeds(
        form,
        lambda: helping.record_visit(request=shown, seen=Seen(**form.cleaned_data), act=act_of(request)),
    ):
        messages.success(request, _("The visit is recorded."))
        return redirect("help_request", pk)
    return _page(shown, _("Record a visit"), _("Record the visit")).answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def help_close(request: StaffRequest, pk: int) -> HttpResponse:
    shown = _shown(pk)
    form = CloseForm(request.POST or None)
    if form.is_valid() and succeeds(
        form, lambda: helping.close(request=shown, **form.cleaned_data, act=act_of(request))
    ):
        messages.success(request, _("Closed."))
        return redirect("help_request", pk)
    about = _("Where they stopped, record that as well: the days without use leave the figures.")
    return _page(shown, _("Close this help request"), _("Close it"), about=about).answer(request, form)


@require_POST
@may(*WITH_CONTACT_DATA)
def help_reopen(request: StaffRequest, pk: int) -> HttpResponse:
    try:
        helping.reopen(request=_shown(pk))
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    else:
        messages.success(request, _("Open again."))
    return redirect("help_request", pk)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def complaint_report(request: StaffRequest, pk: int) -> HttpResponse:
    """Write down what the authority was told."""
    shown = _shown(pk)
    complaint = getattr(shown, "complaint", None)
    if complaint is None:
        raise Http404
    form = ReportBackForm(request.POST or None, initial={"on": timezone.localdate()})
    if form.is_valid() and succeeds(
        form,
        lambda: helping.report_back(complaint=complaint, **form.cleaned_data, act=act_of(request)),
    ):
        messages.success(request, _("The authority has its answer. The complaint can be closed now."))
        return redirect("help_request", pk)
    return _page(shown, _("Report back to the authority"), _("Write it down")).answer(request, form)
