"""Pages of the coaching desk that anybody may see: nothing is asked about a person and nothing is kept."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from outreach.coaching import local_rules
from outreach.coaching.published import published
from outreach.coaching.recipe import RecipeForm
from outreach.coaching.which_bin import SUN_WORDS, WhichBinForm, in_groups
from outreach.post.residents_language import in_residents_language, public_page


@login_not_required
@require_safe
@in_residents_language
def recipe(request: HttpRequest) -> HttpResponse:
    form = RecipeForm(request.GET if "green_1" in request.GET else None)
    context = {
        "form": form,
        "recipe": form.recipe() if form.is_valid() else None,
        "rule": local_rules.browns_per_green(),
        "published": published(),
    }
    return public_page(request, "coaching/recipe.html", context)


@login_not_required
@require_safe
@in_residents_language
def bin_advice(request: HttpRequest) -> HttpResponse:
    form = WhichBinForm(request.GET if "ground" in request.GET else None)
    context = {"form": form, "published": published()}
    if form.is_valid():
        advice = form.advice(on=timezone.localdate())
        schedule = advice.schedule
        context |= {
            "advice": advice,
            "groups": in_groups(advice.families),
            "sun": SUN_WORDS[form.needs().sun],
            "dates": [
                (_("First bin full"), schedule.first_full),
                (_("Its compost ready"), schedule.first_ready),
                (_("Second bin full: time to swap"), schedule.swap),
            ],
        }
    return public_page(request, "coaching/bin_advice.html", context)
