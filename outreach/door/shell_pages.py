"""Where the Door begins: the page that lets a device in, and the application page that needs no network."""

import datetime
import json
from typing import Any

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.cache import cache_control
from django.views.decorators.csrf import ensure_csrf_cookie
from django.views.decorators.http import require_safe

from outreach.door import words
from outreach.staff.roles import WITH_CONTACT_DATA
from outreach.workshops.models import Workshop

# A device is made ready where there is a network, which may be days before the park.
DAYS_AHEAD = 7
CREW_LANGUAGE = settings.LANGUAGE_CODE.partition("-")[0]


@require_safe
@login_not_required
@ensure_csrf_cookie
def start(request: HttpRequest) -> HttpResponse:
    """A field for a door pass; for whoever has signed in also the workshops of the coming days."""
    workshops = _coming() if _sees_people(request) else []
    return render(request, "door/start.html", {"workshops": workshops})


# Anybody may open it with a pass; these find it in the index of places.
start.allowed_roles = WITH_CONTACT_DATA  # type: ignore[attr-defined]


@require_safe
@login_not_required
def application(request: HttpRequest, workshop_id: int) -> HttpResponse:
    """The Door of one workshop. The page is the same for all and names nobody; the device knows the rest."""
    return HttpResponse(shell_html())


@require_safe
@login_not_required
def shell(request: HttpRequest) -> HttpResponse:
    """The same page, kept by the worker for every workshop."""
    return HttpResponse(shell_html())


@require_safe
@login_not_required
@cache_control(no_cache=True)
def spoken(request: HttpRequest, language: str) -> HttpResponse:
    """What the Door says, from the catalogue of one language."""
    if language not in dict(settings.LANGUAGES):
        return JsonResponse({"sentence": _("There is no such language here.")}, status=404)
    return HttpResponse(words.as_json(language), content_type="application/json")


@require_safe
@login_not_required
@cache_control(no_cache=True)
def manifest(request: HttpRequest) -> HttpResponse:
    """What a phone needs to put the Door on its home screen."""
    return HttpResponse(manifest_json(), content_type="application/manifest+json")


def shell_html() -> str:
    """The application page in the language of the crew; it depends on nothing that a reader brings."""
    with translation.override(CREW_LANGUAGE):
        return render_to_string("door/app.html", {"language": CREW_LANGUAGE})


def manifest_json() -> str:
    """The web application manifest."""
    address = reverse("door_start")
    facts: dict[str, Any] = {
        "name": "Loambook Door",
        "short_name": "Door",
        "start_url": address,
        "scope": address,
        "display": "standalone",
        "lang": CREW_LANGUAGE,
        "background_color": "white",
        "theme_color": "white",
        "icons": [{"src": static("look/icon.svg"), "sizes": "any", "type": "image/svg+xml"}],
    }
    return json.dumps(facts)


def _sees_people(request: HttpRequest) -> bool:
    return getattr(request.user, "role", None) in WITH_CONTACT_DATA


def _coming() -> list[Workshop]:
    today = timezone.localdate()
    last_day = today + datetime.timedelta(days=DAYS_AHEAD)
    return list(Workshop.objects.held_between(today, last_day).not_closed().with_names().order_by("held_on"))
