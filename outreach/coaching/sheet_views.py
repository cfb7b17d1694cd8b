"""The sheet for whoever asks, as a page and to print; without a name on it, and nothing is kept."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import get_language
from django.views.decorators.http import require_safe

from outreach.coaching import bin_figures, sheet
from outreach.coaching.advice_pages import pdf
from outreach.coaching.models import LocalRules
from outreach.coaching.papers import sheet_paper
from outreach.coaching.sheet import DOING, ForWhom
from outreach.coaching.sheet_forms import SheetForm
from outreach.post import links
from outreach.post.residents_language import in_residents_language, public_page


def addresses(rules: LocalRules | None = None) -> ForWhom:
    """The addresses on a sheet without a name: for help, and of this sheet as a page."""
    language = f"?language={(get_language() or 'en')[:2]}"
    return ForWhom(
        ask_url=links.public_url(reverse("ask_for_help") + language),
        later_url=links.public_url(reverse("sheet") + language),
        rules=rules,
    )


@login_not_required
@require_safe
@in_residents_language
def sheet_page(request: HttpRequest) -> HttpResponse:
    form = SheetForm(request.GET if "family" in request.GET else None)
    context = {"form": form, "query": request.GET.urlencode()}
    if form.is_valid():
        composed = sheet.compose(form.needs(on=timezone.localdate()), addresses(form.rules()))
        context |= {
            "sheet": composed,
            "shapes": bin_figures.figure_of(composed.family),
            "box": f"0 0 {bin_figures.WIDTH} {bin_figures.HEIGHT}",
            "stretches": [(one, DOING[one.doing]) for one in composed.year.stretches],
        }
    return public_page(request, "coaching/sheet.html", context)


@login_not_required
@require_safe
@in_residents_language
def sheet_print(request: HttpRequest) -> HttpResponse:
    """The same as a PDF; where the query makes no sense, the usual bin."""
    form = SheetForm(request.GET)
    if not form.is_valid():
        form = SheetForm({"family": "mesh", "pails": "2", "tending": "resting"})
        form.full_clean()
    composed = sheet.compose(form.needs(on=timezone.localdate()), addresses(form.rules()))
    language = get_language() or "en"
    return pdf("compost-sheet", lambda to: sheet_paper.write([(language, composed)], to))
