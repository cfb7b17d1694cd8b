"""Buttons on a page that lead to an app above its own; apps add theirs in `AppConfig.ready()`.

On the page of a record they lead to a page about the same record, under its number: such a page shows them
with `{% record_buttons "workshop" workshop.pk %}`.
"""

from dataclasses import dataclass

from django.urls import reverse
from django.utils.functional import Promise

from outreach.staff.roles import OFFICE, Role


@dataclass(frozen=True, slots=True)
class Shortcut:
    """One button: on which page it stands, its words, where it leads, and who is shown it."""

    page: str
    words: str | Promise
    url_name: str
    roles: tuple[Role, ...]

    @property
    def url(self) -> str:
        return reverse(self.url_name)

    def url_about(self, number: int) -> str:
        """Where it leads from the page of the record of that number."""
        return reverse(self.url_name, args=[number])


_shortcuts: dict[tuple[str, str], Shortcut] = {}


def register(page: str, words: str | Promise, url_name: str, roles: tuple[Role, ...] = OFFICE) -> None:
    """Add a button to the page of this URL name; registered again it replaces the earlier one."""
    _shortcuts[page, url_name] = Shortcut(page, words, url_name, roles)


def shown_on(page: str, role: str) -> list[Shortcut]:
    """The buttons of a page for someone of this role, in the order of registration."""
    return [one for one in _shortcuts.values() if one.page == page and role in one.roles]
