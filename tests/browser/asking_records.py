"""A household that was asked and has begun to answer, and where the pages of its link are."""

from collections.abc import Iterator
from datetime import timedelta
from typing import Any

from outreach.bins.models import Handout
from outreach.followup import invitation_links
from outreach.followup.models import Invitation, Wave


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
    link = invitation_links.mailed(Invitation.objects.get())
    for name in ("my_answer", "my_answer_more", "my_answer_kept"):
        yield name, {"token": link.rstrip("/").rsplit("/", 1)[1]}
