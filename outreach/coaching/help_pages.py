"""Help, for the office and the crew: the list, one request, a new one, whose it is."""

from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins.models import Pause
from outreach.bins.refusals import attempt, status_of
from outreach.coaching import helping, rules_in_words
from outreach.coaching.finding_households import households_for
from outreach.coaching.help_filters import HelpRequestFilter
from outreach.coaching.help_forms import ComplaintForm, HelpRequestForm
from outreach.coaching.helping import Act, Asked, FromAuthority
from outreach.coaching.models import HelpRequest, LocalRules
from outreach.coaching.problems import diagnose
from outreach.households.models import Household
from outreach.staff import audit, shortcuts
from outreach.staff.roles import OFFICE, TRAIL_READERS, WITH_CONTACT_DATA, StaffRequest, may

ROWS_A_PAGE = 50


def act_of(request: StaffRequest) -> Act:
    """Whoever is signed in acts, now."""
    return Act(by=request.user, at=timezone.now())


@require_GET
@may(*WITH_CONTACT_DATA)
def help_requests(request: StaffRequest) -> HttpResponse:
    """What is open, the first due first, then what was closed."""
    asked = HelpRequest.objects.with_details().first_due_first()
    narrowed = HelpRequestFilter(request.GET or None, queryset=asked)
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    is_part = request.htmx  # type: ignore[attr-defined]
    template = "coaching/staff/list.html#rows" if is_part else "coaching/staff/list.html"
    context = {
        "shortcuts": shortcuts.shown_on("help", request.user.role),
        "filter": narrowed,
        "page": page,
        "today": timezone.localdate(),
        "may_file": _may_file(request),
    }
    response = render(request, template, context)
    response["Vary"] = "HX-Request"
    return response


def _may_file(request: StaffRequest) -> bool:
    return request.user.role in OFFICE


@require_GET
@may(*WITH_CONTACT_DATA)
def help_request(request: StaffRequest, pk: int) -> HttpResponse:
    """One request: what was asked, what to advise, what was done, what comes next."""
    shown = get_object_or_404(HelpRequest.objects.with_details(), pk=pk)
    rules = LocalRules.objects.of(shown.jurisdiction)
    sees_trail = request.user.role in TRAIL_READERS
    context = {
        "asked": shown,
        "today": timezone.localdate(),
        "steps": shown.steps.select_related("entered_by"),
        "visits": shown.visits.all(),
        "found": diagnose(one.symptom for one in shown.symptoms.all()),
        "rules": rules,
        "rule_sentences": rules_in_words.sentences(rules) if rules else [],
        "pauses": _pauses(shown),
        "may_file": _may_file(request),
        "sees_trail": sees_trail,
        "entries": audit.entries_of(shown) if sees_trail else [],
    }
    return render(request, "coaching/staff/request.html", context)


def _pauses(shown: HelpRequest) -> Any:
    if shown.household is None:
        return Pause.objects.none()
    return Pause.objects.standing().counted_for(shown.household)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def help_add(request: StaffRequest) -> HttpResponse:
    """Write down what someone told of a problem or an objection."""
    household = _named(request)
    form = HelpRequestForm(request.POST or None, household=household, initial=request.GET.dict())
    if form.is_valid():
        made = attempt(form, lambda: helping.open_request(asked=Asked(**form.asked()), act=act_of(request)))
        if made is not None:
            messages.success(request, _("The help request is recorded."))
            return redirect("help_request", made.pk)
    return _form_page(request, form, household, _("Record a help request"))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def complaint_add(request: StaffRequest) -> HttpResponse:
    """Write down a complaint that an authority passed on."""
    household = _named(request)
    initial = {"received_on": timezone.localdate()}
    form = ComplaintForm(request.POST or None, household=household, initial=initial)
    if form.is_valid():
        made = attempt(
            form,
            lambda: helping.open_complaint(
                asked=Asked(**form.asked()), case=FromAuthority(**form.case()), act=act_of(request)
            ),
        )
        if made is not None:
            messages.success(request, _("The complaint is recorded; Season names it until it is closed."))
            return redirect("help_request", made.pk)
    return _form_page(request, form, household, _("Record a complaint"))


def _named(request: StaffRequest) -> Household | None:
    number = request.GET.get("household", "")
    return get_object_or_404(Household, pk=int(number)) if number.isdecimal() else None


def _form_page(request: StaffRequest, form: Any, household: Household | None, heading: str) -> HttpResponse:
    context = {"form": form, "household": household, "heading": heading}
    return render(request, "coaching/staff/add.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def help_household(request: StaffRequest, pk: int) -> HttpResponse:
    """Look whose help request it is: by what they wrote, or by a search."""
    shown = get_object_or_404(HelpRequest.objects.with_details(), pk=pk)
    number = request.POST.get("household", "")
    if request.method == "POST" and number.isdecimal():
        household = get_object_or_404(Household, pk=int(number))
        helping.name_household(request=shown, household=household)
        messages.success(request, _("The help request is theirs now."))
        return redirect("help_request", pk)
    search = request.GET.get("search", "")
    context = {
        "asked": shown,
        "search": search,
        "found": households_for(shown, search, on=timezone.localdate()),
        "back_url": reverse("help_request", args=[pk]),
    }
    return render(request, "coaching/staff/household.html", context)
