"""Answers that a person has to look at before they count."""

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from outreach.followup import reviewing
from outreach.followup.models import Answer
from outreach.staff.roles import OFFICE, StaffRequest, may

ANSWERS_A_PAGE = 20


@require_GET
@may(*OFFICE)
def answers_review(request: StaffRequest) -> HttpResponse:
    """Each answer with its words, why it waits, and what can be done."""
    waiting = Answer.objects.in_review().with_household().order_by("answered_on", "pk")
    page = Paginator(waiting, ANSWERS_A_PAGE).get_page(request.GET.get("page"))
    return render(request, "followup/review.html", {"page": page})


@require_POST
@may(*OFFICE)
def answer_settle(request: StaffRequest, answer_id: int, outcome: str) -> HttpResponse:
    """Let it count as it is, or set it aside."""
    waiting = get_object_or_404(Answer, pk=answer_id)
    try:
        reviewing.settle_review(answer=waiting, outcome=outcome, by=request.user, at=timezone.now())
    except ValidationError as problem:
        messages.error(request, " ".join(problem.messages))
    else:
        counts = outcome == reviewing.Outcome.COUNT
        messages.success(request, _("The answer counts now.") if counts else _("The answer is set aside."))
    back = request.POST.get("back", "")
    if url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        return redirect(back)
    return redirect("answers_review")
