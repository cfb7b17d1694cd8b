"""Who else acts when a booking holds places, gives them back, or a workshop starts: filled by higher apps.

Each is called inside the transaction of the change, with the workshop locked.
"""

from datetime import datetime

from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.workshops.models import Booking, Workshop


class Follower:
    """What a higher app does; it overrides what concerns it."""

    def seated(self, booking: Booking, at: datetime) -> None:
        """A booking holds its places."""

    def gave_back(self, booking: Booking, at: datetime) -> None:
        """A booking holds no places any more."""

    def moved(self, workshop: Workshop, at: datetime) -> None:
        """A workshop has another day or hour."""

    def called_off(self, workshop: Workshop, at: datetime) -> None:
        """A workshop does not take place."""

    def planned_again(self, workshop: Workshop, at: datetime) -> None:
        """A workshop that was called off takes place after all."""

    def started(self, workshop: Workshop, at: datetime) -> None:
        """A workshop has started; called again until it is closed."""

    def closed(self, workshop: Workshop, by: StaffMember | None, at: datetime) -> None:
        """The list of a workshop is finished."""

    def remark(self, household: Household, workshop: Workshop) -> str:
        """A sentence for the contact on record of a household, in the language that is active."""
        return ""


_followers: dict[str, Follower] = {}


def register(name: str, follower: Follower) -> None:
    """Call this follower from now on; the same name again replaces the earlier one."""
    _followers[name] = follower


def followers() -> list[Follower]:
    return list(_followers.values())
