"""The index of places at the head of every page: who sees which, and where one is now."""

from collections.abc import Iterator
from typing import NamedTuple

from django.http import HttpRequest
from django.urls import Resolver404, get_script_prefix, resolve
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

PLACES: tuple[tuple[str | Promise, str], ...] = (
    (_("Season"), ""),
    (_("Workshops"), "workshops/"),
    (_("Households"), "households/"),
    (_("Bins"), "bins/"),
    (_("Follow-up"), "follow-up/"),
    (_("Paperwork"), "intake/"),
    (_("Filings"), "filings/"),
    (_("Set-up"), "set-up/"),
)


class Place(NamedTuple):
    """One entry of the index."""

    word: str | Promise
    url: str
    is_here: bool


def places_for(request: HttpRequest) -> Iterator[Place]:
    """The places that this person's role admits, in the order of the day's work."""
    role = getattr(request.user, "role", None)
    for word, address in PLACES:
        url = get_script_prefix() + address
        if role in _roles_admitted_at(url):
            is_here = request.path.startswith(url) if address else request.path == url
            yield Place(word, url, is_here)


def _roles_admitted_at(url: str) -> tuple[str, ...]:
    try:
        return getattr(resolve(url).func, "allowed_roles", ())
    except Resolver404:
        return ()
