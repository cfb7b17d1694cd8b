"""Site checks: drawing lists, the route sheet, recording visits, and what they say beside the answers."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins.form_page import FormPage
from outreach.coaching.advice_pages import pdf
from outreach.followup import site_check_figures, site_checking
from outreach.followup.models import SiteCheck, SiteCheckList
from outreach.followup.papers import route_sheet
from outreach.followup.site_check_forms import ListForm, VisitForm, initial_of
from outreach.followup.weighing_pages import act_of, any_seed
from outreach.households.models import Household
from outreach.staff.refusals import attempt
from outreach.staff.roles import EVERYONE, OFFICE, READERS, WITH_CONTACT_DATA, StaffRequest, may


def _page(request: StaffRequest, heading: str, button: str, back_url: str, about: str = "") -> FormPage:
    above = ((_("Follow-up"), reverse("followup")),) if request.user.role in READERS else ()
    return FormPage(
        heading=heading,
        button=button,
        back_url=back_url,
        trail=(*above, (_("Site checks"), reverse("site_checks"))),
        about=about,
        is_elsewhere=True,
    )


@require_GET
@may(*EVERYONE)
def site_checks(request: StaffRequest) -> HttpResponse:
    """The lists; and, for those who do not go there themselves, what was seen beside what was answered."""
    reads_answers = request.user.role in READERS
    every = SiteCheck.objects.visited()
    context = {
        "lists": SiteCheckList.objects.with_counts().select_related("jurisdiction"),
        "comparison": site_check_figures.compared(
            every.drawn(), outside_a_draw=every.outside_a_draw().count()
        )
        if reads_answers
        else None,
        "may_draw": request.user.role in OFFICE,
        "may_visit": request.user.role in WITH_CONTACT_DATA,
    }
    return render(request, "followup/site_checks/overview.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def site_check_draw(request: StaffRequest) -> HttpResponse:
    form = ListForm(request.POST or None)
    if form.is_valid():
        wanted = dict(form.cleaned_data)
        seed = wanted.pop("seed")
        seed = any_seed() if seed is None else seed
        made = attempt(form, lambda: site_checking.draw_list(**wanted, seed=seed, act=act_of(request)))
        if made is not None:
            messages.success(request, _("The list is drawn. Print its route sheet."))
            return redirect("site_check_list", made.pk)
    about = _("Drawn at random from the households with a bin in use today, whatever they have answered.")
    page = _page(request, _("Draw a list to visit"), _("Draw it"), reverse("site_checks"), about)
    return page.answer(request, form)


@require_GET
@may(*WITH_CONTACT_DATA)
def site_check_list(request: StaffRequest, list_id: int) -> HttpResponse:
    """One list in the order of its route, with what was seen; never what they answered."""
    shown = get_object_or_404(SiteCheckList.objects.select_related("jurisdiction", "drawn_by"), pk=list_id)
    checks = SiteCheck.objects.of_list(shown).with_household()
    context = {
        "list": shown,
        "checks": route_sheet.in_order_of_the_way(checks),
        "may_answer": request.user.role in OFFICE,
    }
    return render(request, "followup/site_checks/list.html", context)


@require_GET
@may(*WITH_CONTACT_DATA)
def site_check_route(request: StaffRequest, list_id: int) -> HttpResponse:
    """The route sheet to print: addresses in order, what to look for, boxes; no answers."""
    shown = get_object_or_404(SiteCheckList, pk=list_id)
    checks = list(SiteCheck.objects.of_list(shown).with_household())
    return pdf("route-sheet", lambda to: route_sheet.write(shown, checks, to))


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def site_check(request: StaffRequest, check_id: int) -> HttpResponse:
    """Record what was seen at a household of a list, or correct it."""
    shown = get_object_or_404(SiteCheck.objects.with_household(), pk=check_id)
    back_url = reverse("site_check_list", args=[shown.list_id]) if shown.list_id else reverse("site_checks")
    initial = initial_of(shown, on=timezone.localdate(), by_name=request.user.full_name)
    form = VisitForm(request.POST or None, initial=initial)
    if form.is_valid():
        seen = form.seen()
        made = attempt(form, lambda: site_checking.record_visit(check=shown, seen=seen, act=act_of(request)))
        if made is not None:
            _say(request, made)
            return redirect(back_url)
    page = _page(request, _("What was seen"), _("Record it"), back_url, about=_address(shown.household))
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def site_check_add(request: StaffRequest, household_id: int) -> HttpResponse:
    """Record a site check of a household that is on no list, such as one made on the way."""
    household = get_object_or_404(Household, pk=household_id)
    back_url = reverse("household", args=[household_id])
    initial = {"checked_on": timezone.localdate(), "seen_by": request.user.full_name}
    form = VisitForm(request.POST or None, initial=initial)
    if form.is_valid():
        seen, act = form.seen(), act_of(request)
        made = attempt(
            form, lambda: site_checking.record_outside_a_draw(household=household, seen=seen, act=act)
        )
        if made is not None:
            _say(request, made)
            return redirect(back_url)
    about = _("%(address)s. No list named it, so it is kept apart from the shares.") % {
        "address": _address(household)
    }
    return _page(request, _("Enter a site check"), _("Record it"), back_url, about).answer(request, form)


def _address(household: Household) -> str:
    return f"{household}, {household.city_name} {household.zip_code}".strip(", ")


def _say(request: StaffRequest, check: SiteCheck) -> None:
    if check.pause is not None:
        messages.success(request, _("Recorded. The bin counts as not in use from that day on."))
        return
    messages.success(request, _("Recorded."))
    if site_checking.contradicts_the_records(check):
        messages.warning(
            request,
            _(
                "The records still say that the bin is not in use. Open the household and say from when it is."
            ),
        )
