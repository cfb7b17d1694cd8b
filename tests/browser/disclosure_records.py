"""A records request with its files and their handover, and where the page of each is."""

import uuid
from collections.abc import Iterator
from typing import Any

from django.utils import timezone

from outreach.disclosure import making
from outreach.disclosure.models import Handover, RecordsRequest
from outreach.disclosure.row_kinds import BY_KEY


def make_disclosure(season: Any) -> Iterator[tuple[str, dict[str, Any]]]:
    """One of each; asked by someone who is no resident."""
    who = {"by": season.by, "at": season.at}
    request = RecordsRequest(
        reference="PRR 2026-014",
        requester="Quillby Gazette",
        asked_on=season.ago(10),
        asked_for="All records of bins handed out this year",
        kinds=list(BY_KEY),
        first_day_on=season.ago(400),
        last_day_on=season.on,
    )
    making.take_down(request=request, **who)
    made = making.make(request=request, key=uuid.uuid4(), watch=lambda done, of: None, **who)
    handover = Handover(
        disclosure=made, to_whom="Quillby Gazette", how="e_mail", handed_over_on=timezone.localdate(season.at)
    )
    making.hand_over(handover=handover, **who)
    for name in ("records_request", "disclosure_make"):
        yield name, {"pk": request.pk}
    yield "records_request_words", {"pk": request.pk, "kind": "handouts"}
    for name in ("disclosure_file", "handover_add"):
        yield name, {"pk": made.pk}
    yield "withholding", {"key": "person"}
