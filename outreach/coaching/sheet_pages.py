"""Sheets with a name on them, for the office and the crew: of a household, of a handout, of a whole workshop."""

from collections.abc import Iterable

from django.conf import settings
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET

from outreach.bins.models import Handout
from outreach.coaching import answer_links, sheet
from outreach.coaching.advice_pages import pdf
from outreach.coaching.families import Family
from outreach.coaching.models import LocalRules
from outreach.coaching.papers import sheet_paper
from outreach.coaching.sheet import ForWhom, Sheet, SheetNeeds
from outreach.coaching.sheet_views import addresses
from outreach.households.models import Household
from outreach.post.residents_language import chosen
from outreach.staff.roles import WITH_CONTACT_DATA, StaffRequest, may
from outreach.workshops.models import Workshop
from outreach.workshops.recipients import postal_lines


@require_GET
@may(*WITH_CONTACT_DATA)
def household_sheet(request: StaffRequest, pk: int) -> HttpResponse:
    """The sheet of a household: for its latest bin, or for the usual one where it has none."""
    household = get_object_or_404(Household, pk=pk)
    theirs = Handout.objects.standing().counted_for(household.counted_under).with_details()
    latest = theirs.order_by("-handed_on", "-pk").first()
    language = chosen(request) or language_of(household)
    return _answer([(household, latest)], language)


@require_GET
@may(*WITH_CONTACT_DATA)
def handout_sheet(request: StaffRequest, pk: int) -> HttpResponse:
    given = get_object_or_404(Handout.objects.with_details(), pk=pk)
    return _answer([(given.household, given)], chosen(request) or language_of(given.household))


@require_GET
@may(*WITH_CONTACT_DATA)
def workshop_sheets(request: StaffRequest, pk: int) -> HttpResponse:
    """Of everybody who took a bin at the workshop, each in their own language."""
    workshop = get_object_or_404(Workshop, pk=pk)
    given = list(Handout.objects.standing().at(workshop).with_details())
    if not given:
        messages.info(
            request, _("No bin was handed out at this workshop yet, so there is no sheet to print.")
        )
        return redirect("workshop", pk)
    return _answer([(one.household, one) for one in given], chosen(request))


def language_of(household: Household) -> str:
    """The language of a household, English where it is not known."""
    return household.language if household.language in dict(settings.LANGUAGES) else "en"


def _answer(given: Iterable[tuple[Household, Handout | None]], language: str) -> HttpResponse:
    sheets: list[tuple[str, Sheet]] = []
    for household, handout in given:
        spoken = language or language_of(household)
        with translation.override(spoken):
            sheets.append((spoken, _sheet_of(household, handout)))
    return pdf("sheets", lambda to: sheet_paper.write(sheets, to))


def _sheet_of(household: Household, handout: Handout | None) -> Sheet:
    root = household.counted_under
    usual = addresses(LocalRules.objects.of(root.jurisdiction))
    later = answer_links.link_for(root)
    whom = ForWhom(
        ask_url=usual.ask_url,
        later_url=later or usual.later_url,
        asks_later=bool(later),
        rules=usual.rules,
        lines=_lines(household, handout),
    )
    return sheet.compose(_needs(handout), whom)


def _needs(handout: Handout | None) -> SheetNeeds:
    if handout is None:
        return SheetNeeds(family=Family.MESH, begun_on=timezone.localdate())
    model = handout.bin_model
    return SheetNeeds(
        family=Family(model.family),
        begun_on=handout.handed_on,
        litres=float(model.litres) if model.litres else None,
    )


def _lines(household: Household, handout: Handout | None) -> tuple[str, ...]:
    people = [handout.participant] if handout and handout.participant else household.people[:1]
    return (*(person.full_name for person in people), ", ".join(postal_lines(household)))
