"""What the Set-up page links to; apps add theirs in `AppConfig.ready()`."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.urls import NoReverseMatch, reverse
from django.utils.functional import Promise

from outreach.staff.roles import OFFICE, Role


@dataclass(frozen=True, slots=True)
class SetUpPage:
    """One thing that is set up: its title, what it is for, and who may open it."""

    title: str | Promise
    url_name: str
    roles: tuple[Role, ...]
    about: str | Promise = ""

    @property
    def url(self) -> str:
        return reverse(self.url_name)


_pages: dict[str, SetUpPage] = {}


def register(
    title: str | Promise, url_name: str, roles: tuple[Role, ...] = OFFICE, about: str | Promise = ""
) -> None:
    """Add a page to Set-up; the same URL name registered again replaces the earlier one."""
    _pages[url_name] = SetUpPage(title, url_name, tuple(roles), about)


def pages_for(role: str) -> Iterator[SetUpPage]:
    """The pages that a role may open, in the order of registration."""
    for page in _pages.values():
        if role in page.roles and _exists(page):
            yield page


def _exists(page: SetUpPage) -> bool:
    try:
        return bool(page.url)
    except NoReverseMatch:
        return False
