"""The index of places at the head of every page: who sees which, and where one is now."""

from collections.abc import Iterator
from typing import NamedTuple

from django.http import HttpRequest
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.staff.roles import admits

PLACES: tuple[tuple[str | Promise, str], ...] = (
    (_("Season"), "season"),
    (_("Workshops"), "workshops"),
    (_("Door"), "door_start"),
    (_("Households"), "households"),
    (_("Bins"), "bins"),
    (_("Follow-up"), "followup"),
    (_("Help"), "help"),
    (_("Paperwork"), "intake"),
    (_("Filings"), "filings"),
    (_("Set-up"), "set_up"),
)


class Place(NamedTuple):
    """One entry of the index."""

    word: str | Promise
    url: str
    is_here: bool


def places_for(request: HttpRequest) -> Iterator[Place]:
    """The places that this person's role admits, in the order of the day's work."""
    role = getattr(request.user, "role", None)
    for word, name in PLACES:
        url = reverse(name)
        if admits(url, role):
            is_here = request.path == url if name == "season" else request.path.startswith(url)
            yield Place(word, url, is_here)
