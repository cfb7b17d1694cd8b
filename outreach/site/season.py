"""Season: what is next, what is due, what runs short."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from outreach.staff.roles import EVERYONE, may


@require_GET
@may(*EVERYONE)
def season(request: HttpRequest) -> HttpResponse:
    return render(request, "site/season.html", {})
