"""The links under which a household answers: signed, for one household, good until its invitation closes.

`mailed`, `on_postcard` and `at_door` open one invitation and say how an answer came; `standing_link` is printed on
papers that stay with the bin, and opens whichever invitation the household has that day. None of them names anybody.
"""

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils.http import urlencode

from outreach.followup.models import Answer, Invitation
from outreach.households.models import Household
from outreach.post import links
from outreach.post.links import LinkBroken

PURPOSE = "answer"
# What a link to one invitation carries beside it, and how an answer then came.
MARKS = {"card": Answer.Channel.POSTCARD, "door": Answer.Channel.DOOR}


@dataclass(frozen=True, slots=True)
class Followed:
    """What a link leads to: an invitation, or none where nothing is asked now; and how an answer then came."""

    invitation: Invitation | None
    channel: str


def mailed(invitation: Invitation, language: str = "") -> str:
    """The address in an e-mail or letter, or told on the phone."""
    return _address({"invitation": invitation.pk}, language)


def on_postcard(invitation: Invitation, language: str = "") -> str:
    """The address in the square code of a postcard."""
    return _address({"invitation": invitation.pk, "card": 1}, language)


def at_door(invitation: Invitation, language: str = "") -> str:
    """The path of the form on a tablet at a workshop, handed to somebody of the household."""
    return _path({"invitation": invitation.pk, "door": 1}, language)


def standing_link(household: Household) -> str:
    """The address on papers that a household keeps, whatever wave is asked when somebody follows it."""
    return _address({"household": household.counted_under.pk}, household.language)


def followed(token: str, *, on: date) -> Followed:
    """What a token leads to that day.

    Raises
    ------
    LinkBroken
        If it was not made here, or what it was made for is gone. Both read alike, so it tells nothing.
    """
    said = links.read(PURPOSE, token)
    if "household" in said:
        return Followed(_latest_of(said["household"], on), Answer.Channel.LINK)
    invitation = Invitation.objects.with_household().filter(pk=said.get("invitation", 0)).first()
    if invitation is None:
        raise LinkBroken
    by = [channel for mark, channel in MARKS.items() if mark in said]
    return Followed(invitation, by[0] if by else Answer.Channel.LINK)


def takes_answers(invitation: Invitation, *, on: date) -> bool:
    """Whether it can be answered that day: not over, the wave still asked, the household still there."""
    home = invitation.counted_under
    lives_there = home.ended_on is None or home.ended_on > on
    return invitation.wave.is_open and on <= invitation.closes_on and lives_there


def _latest_of(household_id: int, on: date) -> Invitation | None:
    household = Household.objects.select_related("merged_into").filter(pk=household_id).first()
    if household is None:
        raise LinkBroken
    theirs = Invitation.objects.counted_for(household.counted_under).takes_answers(on)
    return theirs.with_household().first()


def _address(payload: dict[str, Any], language: str) -> str:
    return links.public_url(_path(payload, language))


def _path(payload: dict[str, Any], language: str) -> str:
    path = reverse("my_answer", args=[links.make(PURPOSE, payload)])
    query = f"?{urlencode({'language': language})}" if language else ""
    return path + query
