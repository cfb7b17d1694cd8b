"""Advice for one help request: looked at, sent, printed; and letters about objections."""

import io
from collections.abc import Callable
from typing import BinaryIO

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins.refusals import attempt, status_of
from outreach.coaching import advising, reaching
from outreach.coaching.help_pages import act_of
from outreach.coaching.models import HelpRequest, LocalRules
from outreach.coaching.papers import advice_paper, objection_letter
from outreach.staff.roles import WITH_CONTACT_DATA, StaffRequest, may

SEND, PRINT = "send", "print"


class AdviceForm(forms.Form):
    """A few words of one's own above the advice, and how it goes out."""

    own_words = forms.CharField(
        label=gettext_lazy("Your own words to them"),
        help_text=gettext_lazy("In their language; they stand above the advice."),
        max_length=1000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def help_advice(request: StaffRequest, pk: int) -> HttpResponse:
    shown = get_object_or_404(HelpRequest.objects.with_details(), pk=pk)
    form = AdviceForm(request.POST or None)
    if form.is_valid():
        words, act = form.cleaned_data["own_words"], act_of(request)
        if request.POST.get("how") == PRINT:
            advice = attempt(form, lambda: advising.printed(request=shown, own_words=words, act=act))
            if advice is not None:
                return pdf("advice", lambda to: advice_paper.write(advice, shown, to, on=act.on))
        elif attempt(form, lambda: advising.send(request=shown, own_words=words, act=act)) is not None:
            messages.success(
                request, _("The advice is on its way: by e-mail, else on the call list or as a letter.")
            )
            return redirect("help_request", pk)
    context = {
        "asked": shown,
        "form": form,
        "advice": advising.advice_for(shown),
        "to": reaching.addressee_of(shown),
    }
    return render(request, "coaching/staff/advice.html", context, status=status_of(form))


@require_GET
@may(*WITH_CONTACT_DATA)
def help_letter(request: StaffRequest, pk: int) -> HttpResponse:
    """The letter about an objection, in English and Spanish, each on its page."""
    shown = get_object_or_404(HelpRequest.objects.with_details(), pk=pk)
    rules = LocalRules.objects.of(shown.jurisdiction)
    on = timezone.localdate()
    return pdf("letter", lambda to: objection_letter.write(shown, rules, to, on=on))


def pdf(name: str, write: Callable[[BinaryIO], None]) -> HttpResponse:
    """A PDF as an answer, shown in the browser."""
    target = io.BytesIO()
    write(target)
    answer = HttpResponse(target.getvalue(), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer
