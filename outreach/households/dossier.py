"""What other apps show on the page of a household: timeline, panels, buttons.

They register in their `AppConfig.ready()`; nothing here knows who they are.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.staff.roles import admits


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One line of the timeline: what happened, on which day; `mark` is a state of the look."""

    on: date
    words: str
    url: str = ""
    mark: str = ""
    detail: str = ""

    @property
    def state(self) -> str:
        return self.mark


@dataclass(frozen=True, slots=True, kw_only=True)
class Action:
    """One button on the page of a household, for those whom its view admits."""

    words: str
    url: str
    is_undoing: bool = False


@dataclass(frozen=True, slots=True)
class Panel:
    """A template and what it is rendered with."""

    template: str
    context: dict[str, Any]


Timeline = Callable[[Household], Iterable[Entry]]
Actions = Callable[[Household, StaffMember], Iterable[Action]]
PanelContext = Callable[[Household, StaffMember], dict[str, Any] | None]

_timelines: list[Timeline] = []
_actions: list[Actions] = []
_panels: list[tuple[str, PanelContext]] = []


def register_timeline(entries: Timeline) -> None:
    """Add what `entries(household)` tells; the words may hold no contact data."""
    if entries not in _timelines:
        _timelines.append(entries)


def register_action(actions: Actions) -> None:
    """Add the buttons that `actions(household, member)` gives; it gives none to those who may not."""
    if actions not in _actions:
        _actions.append(actions)


def register_panel(template: str, context: PanelContext) -> None:
    """Add a panel; `context(household, member)` returns None where there is nothing to show them."""
    if (template, context) not in _panels:
        _panels.append((template, context))


def timeline_of(household: Household, member: StaffMember) -> list[Entry]:
    """Everything that is known to have happened, the latest first, leading where this person may go."""
    # Apps are registered in the order of a day: someone is known, comes, takes a bin home.
    told = [entry for entries in _timelines for entry in entries(household)]
    latest_first = sorted(told, key=lambda entry: entry.on)[::-1]
    return [
        one if not one.url or admits(one.url, member.role) else replace(one, url="") for one in latest_first
    ]


def actions_for(household: Household, member: StaffMember) -> list[Action]:
    return [action for actions in _actions for action in actions(household, member)]


def panels_for(household: Household, member: StaffMember) -> Iterator[Panel]:
    for template, context in _panels:
        values = context(household, member)
        if values is not None:
            yield Panel(template, {"household": household, **values})
