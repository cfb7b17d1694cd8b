"""Public pages about problems: a diagnosis, of which nothing is kept, and a form that asks for help."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from outreach.coaching import asking, rules_in_words
from outreach.coaching.asking_forms import AskForm, DiagnosisForm
from outreach.coaching.problems import problems
from outreach.post.residents_language import chosen, in_residents_language, public_page
from outreach.workshops import trying

TOO_MANY_REQUESTS = 429
NOT_IN_ORDER = 422


@login_not_required
@require_safe
@in_residents_language
def diagnosis(request: HttpRequest) -> HttpResponse:
    form = DiagnosisForm(request.GET if "symptom" in request.GET or "sent" in request.GET else None)
    context = {"form": form, "problems": problems().values()}
    if form.is_valid():
        rules = form.rules()
        context |= {
            "found": form.diagnosis(),
            "rules": rules,
            "rule_sentences": rules_in_words.sentences(rules) if rules else [],
        }
    return public_page(request, "coaching/diagnosis.html", context)


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@in_residents_language
def ask_for_help(request: HttpRequest) -> HttpResponse:
    """Keep a request for help; whoever asks hears the same, whether the address takes part or not."""
    form = AskForm(request.POST or None, initial={"symptom": request.GET.getlist("symptom")})
    status = NOT_IN_ORDER if form.errors else 200
    if form.is_valid():
        at = timezone.now()
        here = trying.network_address_of(request)
        if form.is_from_a_script:
            return _thanks(request)
        if not asking.is_too_often(network_address=here, said=form.cleaned_data, at=at):
            asking.keep(said=form.cleaned_data, at=at)
            return _thanks(request)
        words = _("This form was used very often from here. Nothing was sent: try again in an hour, or call.")
        form.add_error(None, words)
        status = TOO_MANY_REQUESTS
    answer = public_page(request, "coaching/ask.html", {"form": form})
    answer.status_code = status
    return answer


@login_not_required
@require_safe
@in_residents_language
def help_asked(request: HttpRequest) -> HttpResponse:
    return public_page(request, "coaching/asked.html", {})


def _thanks(request: HttpRequest) -> HttpResponse:
    language = chosen(request)
    return HttpResponseRedirect(reverse("help_asked") + (f"?language={language}" if language else ""))
