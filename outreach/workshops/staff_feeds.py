"""The secret address of a calendar with counts: made for one member of staff, and ends with their access."""

import hashlib
from datetime import date, timedelta

from django.utils.crypto import constant_time_compare
from django.utils.translation import gettext as _

from outreach.post import links
from outreach.staff.models import StaffMember

PURPOSE = "staff calendar"
LOOKS_BACK = timedelta(days=30)


class FeedEnded(Exception):
    """The address was good once: its owner has a new password, or no access any more."""

    def __init__(self) -> None:
        super().__init__(_("This calendar address has ended. Sign in and take the new one."))


def token_of(member: StaffMember) -> str:
    return links.make(PURPOSE, {"member": member.pk, "stamp": _stamp(member)})


def member_of(token: str, *, on: date) -> StaffMember:
    """Whose address this is; a new password, or the end of their access, ends it.

    Raises
    ------
    FeedEnded, LinkBroken
        With words for whoever follows the address.
    """
    said = links.read(PURPOSE, token)
    member = StaffMember.objects.current(on).filter(pk=said.get("member")).first()
    if member is None or not constant_time_compare(said.get("stamp", ""), _stamp(member)):
        raise FeedEnded
    return member


def _stamp(member: StaffMember) -> str:
    """Changes with the password, and says nothing of it."""
    return hashlib.sha256(member.get_session_auth_hash().encode()).hexdigest()[:16]
