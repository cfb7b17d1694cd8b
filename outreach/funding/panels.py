"""What the page of a funding source shows of higher apps; they add theirs in `AppConfig.ready()`."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from typing import Any

from outreach.funding.models import FundingSource

# What a panel's template needs of a source between two days; no first day is since the source began.
Facts = Callable[[FundingSource, date | None, date], dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Panel:
    """A template and what it is given."""

    template: str
    facts: Facts


_panels: dict[str, Panel] = {}


def register(template: str, facts: Facts) -> None:
    """Add a panel; the same template registered again replaces the earlier one."""
    _panels[template] = Panel(template, facts)


def shown_for(
    source: FundingSource, first_day: date | None, last_day: date
) -> list[tuple[str, dict[str, Any]]]:
    """Each panel's template with its facts, in the order of registration."""
    return [(one.template, one.facts(source, first_day, last_day)) for one in _panels.values()]
