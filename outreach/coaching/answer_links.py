"""Where a household answers the questions that come later. The app that asks them says so in `AppConfig.ready()`:

answer_links.register(invitations.standing_link)
"""

from collections.abc import Callable

from outreach.households.models import Household

LinkFor = Callable[[Household], str]

_links: list[LinkFor] = []


def register(link_for: LinkFor) -> None:
    """`link_for(household)` gives a whole address, or '' where they are not asked; the latest counts."""
    if link_for not in _links:
        _links.append(link_for)


def link_for(household: Household) -> str:
    """The address for that household; '' where nothing asks yet."""
    return _links[-1](household) if _links else ""
