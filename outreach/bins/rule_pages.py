"""The rule and its versions, and the exceptions from it."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins import excepting, ruling
from outreach.bins.admission import is_one_of
from outreach.bins.filters import ExceptionFilter
from outreach.bins.form_page import FormPage
from outreach.bins.forms import ReasonForm, RuleForm
from outreach.bins.models import RuleException, RuleVersion
from outreach.bins.refusals import attempt, succeeds
from outreach.staff import audit
from outreach.staff.roles import OFFICE, READERS, TRAIL_READERS, WITH_CONTACT_DATA, StaffRequest, may

ROWS_A_PAGE = 50


@require_GET
@may(*READERS)
def rules(request: StaffRequest) -> HttpResponse:
    versions = RuleVersion.objects.select_related("jurisdiction")
    sees_trail = is_one_of(request, TRAIL_READERS)
    context = {
        "in_force": ruling.in_force_everywhere(timezone.localdate()),
        "versions": versions,
        "may_add": is_one_of(request, OFFICE),
        "today": timezone.localdate(),
        "sees_trail": sees_trail,
        "entries": audit.entries_of(*versions) if sees_trail else [],
    }
    return render(request, "bins/rules.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def rule_add(request: StaffRequest) -> HttpResponse:
    form = RuleForm(request.POST or None, initial={"in_force_from_on": timezone.localdate()})
    if form.is_valid() and succeeds(form, lambda: ruling.add_version(version=form.instance)):
        messages.success(request, _("The rule is added. Bins handed out before it keep their place."))
        return redirect("rules")
    page = FormPage(
        heading=_("Add a rule"),
        button=_("Add it"),
        back_url=reverse("rules"),
        trail=((_("Rules"), reverse("rules")),),
        about=_("Rules are added, never changed: what held on a day can always be read."),
    )
    return page.answer(request, form)


@require_GET
@may(*READERS)
def exceptions(request: StaffRequest) -> HttpResponse:
    """Bins outside the rule or the ledger; reasons only for those who see free text."""
    narrowed = ExceptionFilter(request.GET or None, queryset=RuleException.objects.with_handouts())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    context = {
        "filter": narrowed,
        "page": page,
        "may_rule": is_one_of(request, OFFICE),
        "sees_words": is_one_of(request, WITH_CONTACT_DATA),
    }
    template = "bins/exceptions.html#rows" if request.htmx else "bins/exceptions.html"  # type: ignore[attr-defined]
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def exception_reason(request: StaffRequest, exception_id: int) -> HttpResponse:
    flag = get_object_or_404(RuleException.objects.with_handouts(), pk=exception_id)
    form = ReasonForm(request.POST or None, initial={"reason": flag.reason})
    if form.is_valid():
        reason, now = form.cleaned_data["reason"], timezone.now()
        attempt(
            form,
            lambda: excepting.give_reason(exception=flag, reason=reason, by=request.user, at=now),
        )
        if not form.errors:
            messages.success(request, _("The reason is kept with the exception."))
            return redirect(f"{reverse('exceptions')}?reason=missing")
    page = FormPage(
        heading=flag.get_kind_display().capitalize(),
        button=_("Keep the reason"),
        back_url=reverse("exceptions"),
        trail=((_("Exceptions"), reverse("exceptions")),),
        about=flag.about,
        below="bins/exception_bins.html",
        more={"flag": flag, "entries": audit.entries_of(flag)},
    )
    return page.answer(request, form)
