"""Weigh-ins: seasons and what they tell, who was drawn and agreed, sheets, the grid of weeks."""

import secrets

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from outreach.bins.form_page import FormPage
from outreach.coaching.advice_pages import pdf
from outreach.followup import weighing, weighing_figures
from outreach.followup.models import WeighedWeek, WeighIn, WeighInSeason
from outreach.followup.models.weighing import MOST_SEED
from outreach.followup.papers import weighing_sheet
from outreach.followup.weighing import Act
from outreach.followup.weighing_forms import DrawForm, ProgressForm, SeasonForm, VolunteerForm
from outreach.followup.weighing_grid import Grid
from outreach.staff import audit
from outreach.staff.refusals import attempt, status_of
from outreach.staff.roles import OFFICE, READERS, StaffRequest, may
from outreach.workshops.finding_people import MOST_SHOWN, people_matching

ABOUT_DRAWING = gettext_lazy(
    "Drawn at random from the households with a bin in use, each jurisdiction and bin family with its share. Record "
    "what each one replies, also no: that half of those drawn agreed is what makes the ratio one of everybody."
)


def act_of(request: StaffRequest) -> Act:
    return Act(by=request.user, at=timezone.now())


def any_seed() -> int:
    """A seed by chance, where nobody named one."""
    return secrets.randbelow(MOST_SEED)


def _page(heading: str, button: str, back_url: str, *above: tuple[str, str], about: str = "") -> FormPage:
    trail = ((_("Follow-up"), reverse("followup")), (_("Weigh-ins"), reverse("weigh_ins")), *above)
    return FormPage(
        heading=heading, button=button, back_url=back_url, trail=trail, about=about, is_elsewhere=True
    )


@require_GET
@may(*READERS)
def weigh_ins(request: StaffRequest) -> HttpResponse:
    """How far reports and scales differ, and the seasons in which that was weighed."""
    context = {
        "shown": [
            weighing_figures.shown(material, on=timezone.localdate()) for material in WeighedWeek.Material
        ],
        "seasons": WeighInSeason.objects.with_counts(),
        "waiting": WeighedWeek.objects.in_review().count(),
        "may_change": request.user.role in OFFICE,
    }
    return render(request, "followup/weighing/overview.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weigh_in_season_add(request: StaffRequest) -> HttpResponse:
    form = SeasonForm(request.POST or None)
    if form.is_valid():
        season = form.save()
        messages.success(request, _("The season is saved. Draw recruits now."))
        return redirect("weigh_in_season", season.pk)
    return _page(_("Add a season of weighing"), _("Save"), reverse("weigh_ins")).answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weigh_in_season_edit(request: StaffRequest, season_id: int) -> HttpResponse:
    season = get_object_or_404(WeighInSeason, pk=season_id)
    url = reverse("weigh_in_season", args=[season_id])
    name = str(season)
    form = SeasonForm(request.POST or None, instance=season)
    if form.is_valid():
        form.save()
        messages.success(request, _("The season is saved."))
        return redirect(url)
    return _page(_("Correct the season"), _("Save"), url, (name, url)).answer(request, form)


@require_GET
@may(*OFFICE)
def weigh_in_season(request: StaffRequest, season_id: int) -> HttpResponse:
    """Who was drawn or came by themselves, what they replied, which weeks are in."""
    season = get_object_or_404(WeighInSeason.objects.select_related("drawn_by"), pk=season_id)
    homes = list(WeighIn.objects.of_season(season).with_household().with_weeks_counted())
    context = {
        "season": season,
        "homes": homes,
        "tally": weighing_figures.Tally.of(homes),
        "entries": audit.entries_of(season),
    }
    return render(request, "followup/weighing/season.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weigh_in_draw(request: StaffRequest, season_id: int) -> HttpResponse:
    season = get_object_or_404(WeighInSeason, pk=season_id)
    url = reverse("weigh_in_season", args=[season_id])
    form = DrawForm(request.POST or None)
    if season.seed is not None:
        del form.fields["seed"]
    if form.is_valid():
        seed = form.cleaned_data.get("seed")
        size, seed = form.cleaned_data["size"], any_seed() if seed is None else seed
        made = attempt(
            form, lambda: weighing.draw_recruits(season=season, size=size, seed=seed, act=act_of(request))
        )
        if made is not None:
            said = ngettext("%(n)s household is drawn.", "%(n)s households are drawn.", len(made))
            messages.success(request, said % {"n": len(made)})
            return redirect(url)
    page = _page(_("Draw recruits"), _("Draw them"), url, (str(season), url), about=str(ABOUT_DRAWING))
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weigh_in_volunteer(request: StaffRequest, season_id: int) -> HttpResponse:
    """Put a household on the list that came by itself."""
    season = get_object_or_404(WeighInSeason, pk=season_id)
    sought = request.GET.get("q", "")
    form = VolunteerForm(request.POST or None)
    if form.is_valid():
        home = form.cleaned_data["household"]
        made = attempt(
            form, lambda: weighing.add_volunteer(season=season, household=home, act=act_of(request))
        )
        if made is not None:
            messages.success(request, _("The household is on the list, as a volunteer."))
            return redirect("weigh_in_season", season_id)
    context = {
        "season": season,
        "form": form,
        "sought": sought,
        "found": list(people_matching(sought)[:MOST_SHOWN]),
    }
    return render(request, "followup/weighing/volunteer.html", context, status=status_of(form))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weigh_in_progress(request: StaffRequest, weigh_in_id: int) -> HttpResponse:
    """What a household replied, and when its scale went out and came back."""
    shown = get_object_or_404(WeighIn.objects.with_household(), pk=weigh_in_id)
    url = reverse("weigh_in_season", args=[shown.season_id])
    form = ProgressForm(request.POST or None, instance=shown)
    if form.is_valid():
        noted = attempt(form, lambda: weighing.note_progress(weigh_in=shown, changes=form.changes()))
        if noted is not None:
            messages.success(request, _("Recorded."))
            return redirect(url)
    page = _page(_("Reply and scale"), _("Save"), url, (str(shown.season), url), about=str(shown.household))
    return page.answer(request, form)


@require_POST
@may(*OFFICE)
def weigh_in_no_reply(request: StaffRequest, season_id: int) -> HttpResponse:
    """Whoever is still asked did not reply; a reply that comes later is recorded as it comes."""
    count = weighing.note_no_reply(season=get_object_or_404(WeighInSeason, pk=season_id))
    said = ngettext("%(n)s household did not reply.", "%(n)s households did not reply.", count)
    messages.success(request, said % {"n": count})
    return redirect("weigh_in_season", season_id)


@require_POST
@may(*OFFICE)
def weigh_in_take_off(request: StaffRequest, weigh_in_id: int) -> HttpResponse:
    """Take a volunteer off the list who was put on it by mistake."""
    shown = get_object_or_404(WeighIn, pk=weigh_in_id)
    try:
        weighing.take_off(weigh_in=shown)
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    else:
        messages.success(request, _("The volunteer is off the list."))
    return redirect("weigh_in_season", shown.season_id)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def weigh_in(request: StaffRequest, weigh_in_id: int) -> HttpResponse:
    """The grid of one household: what can be read is saved week by week, the rest stays typed with its reason."""
    shown = get_object_or_404(WeighIn.objects.with_household(), pk=weigh_in_id)
    grid = Grid.of(shown, request.POST or None)
    if request.method == "POST":
        written = grid.save(act_of(request))
        if written:
            said = ngettext("%(n)s entry is saved.", "%(n)s entries are saved.", written)
            messages.success(request, said % {"n": written})
        if not grid.problems:
            return redirect("weigh_in", weigh_in_id)
    context = {"weigh_in": shown, "grid": grid, "entries": audit.entries_of(shown)}
    return render(request, "followup/weighing/grid.html", context, status=422 if grid.problems else 200)


@require_GET
@may(*OFFICE)
def weigh_in_sheets(request: StaffRequest, season_id: int) -> HttpResponse:
    """The weekly sheet of every household that agreed, in its language, ready to print."""
    season = get_object_or_404(WeighInSeason, pk=season_id)
    homes = list(WeighIn.objects.of_season(season).agreed().with_household())
    if not homes:
        messages.info(request, _("Nobody has agreed yet, so there is no sheet to print."))
        return redirect("weigh_in_season", season_id)
    return pdf("weigh-in-sheets", lambda to: weighing_sheet.write(homes, to))


@require_GET
@may(*OFFICE)
def weigh_in_sheet(request: StaffRequest, weigh_in_id: int) -> HttpResponse:
    shown = get_object_or_404(WeighIn.objects.with_household(), pk=weigh_in_id)
    return pdf(shown.code, lambda to: weighing_sheet.write([shown], to))
