"""The page on which those who were helped stand beside those who were not."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from outreach.followup import helped
from outreach.staff.roles import READERS, may

PERCENT = 100


@require_GET
@may(*READERS)
def helped_and_not(request: HttpRequest) -> HttpResponse:
    """Counts, shares with their intervals, and the difference with its own."""
    comparison = helped.compare()
    difference = comparison.difference
    context = {"comparison": comparison, "fewest": helped.FEWEST, "difference": difference}
    if difference is not None:
        context |= {
            "rows": [(difference.first, True), (difference.second, False)],
            "points": [PERCENT * one for one in (difference.difference, difference.lower, difference.upper)],
        }
    return render(request, "followup/helped.html", context)
