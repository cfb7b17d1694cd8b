"""A household that was asked and has begun to answer, and where the pages of its link are."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from outreach.bins.models import Handout
from outreach.followup import calling, invitation_links
from outreach.followup.models import Invitation, Wave
from outreach.households.models import Household


def make_asking(season: Any, in_private: str) -> Iterator[tuple[str, dict[str, Any]]]:
    home = Handout.objects.get(note=in_private).household
    Invitation.objects.create(
        household=home,
        counted_under=home.counted_under,
        wave=Wave.objects.first(),
        opened_on=season.ago(3),
        opened_at=season.at - timedelta(days=3),
        last_asked_at=season.at,
        closes_on=season.on + timedelta(days=39),
        channel="email",
        reminders_sent=1,
        said={"composting": "yes", "food_container": "quart", "food_count": 2},
    )
    yield "postcards_pdf", {"wave_id": _asked_by_postcard(home, season).wave_id}
    link = invitation_links.mailed(Invitation.objects.get(household=home))
    for name in ("my_answer", "my_answer_more", "my_answer_kept"):
        yield name, {"token": link.rstrip("/").rsplit("/", 1)[1]}


def _asked_by_postcard(other_than: Household, season: Any) -> Invitation:
    """A household without e-mail that gets a card, and one that asked not to be called."""
    asked, not_called = Household.objects.roots().apart_from(other_than).order_by("pk")[:2]
    calling.record(household=not_called, reply="not_to_call", by=season.by, at=season.at)
    return Invitation.objects.create(
        household=asked,
        counted_under=asked,
        wave=Wave.objects.first(),
        opened_on=season.on,
        opened_at=season.at,
        last_asked_at=season.at,
        closes_on=season.on + timedelta(days=42),
        channel="call",
    )
