"""The page behind the link two weeks after advice: did it help? The link opens that one question, no record."""

from typing import ClassVar

from django import forms
from django.contrib.auth.decorators import login_not_required
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods

from outreach.coaching import outcomes
from outreach.coaching.help_views import NOT_IN_ORDER
from outreach.coaching.models import HelpRequest
from outreach.post.links import LinkBroken
from outreach.post.residents_language import in_residents_language, public_page

NOT_FOUND = 404
Outcome = HelpRequest.Outcome


class OutcomeForm(forms.Form):
    """Whether the advice helped."""

    CHOICES: ClassVar = [
        (Outcome.SOLVED, _("It is solved")),
        (Outcome.BETTER, _("It is better")),
        (Outcome.UNCHANGED, _("It is no better")),
        (Outcome.STOPPED, _("We stopped composting")),
    ]
    outcome = forms.ChoiceField(
        label=_("How is your compost bin now?"),
        choices=CHOICES,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose one.")},
    )
    words = forms.CharField(
        label=_("Anything else?"), max_length=300, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )


@login_not_required
@require_http_methods(["GET", "HEAD", "POST"])
@in_residents_language
def help_outcome(request: HttpRequest, token: str) -> HttpResponse:
    try:
        asked = outcomes.request_of(token)
    except LinkBroken as broken:
        answer = public_page(request, "coaching/outcome.html", {"broken": str(broken)})
        answer.status_code = NOT_FOUND
        return answer
    form = OutcomeForm(request.POST or None, initial={"outcome": asked.outcome, "words": asked.outcome_note})
    is_kept = False
    if form.is_valid():
        try:
            outcomes.tell(request=asked, **form.cleaned_data, at=timezone.now())
            is_kept = True
        except ValidationError as refusal:
            form.add_error(None, refusal)
    answer = public_page(request, "coaching/outcome.html", {"form": form, "is_kept": is_kept})
    answer.status_code = NOT_IN_ORDER if form.errors else 200
    return answer
