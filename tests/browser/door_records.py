"""A Door with a pass, a device, a table and something that waits, made as people make them."""

import datetime
import uuid
from collections.abc import Iterator
from typing import Any

from outreach.door import letting_in, passing
from outreach.door.letting_in import Asked
from outreach.door.receiving import Delivery, receive
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

WALK_IN = uuid.UUID("6f0c3a52-6d2c-4a55-9a39-0d6f6c1f0a11")


def doors(workshop: Workshop, by: StaffMember, at: datetime.datetime) -> Iterator[tuple[str, dict[str, Any]]]:
    """Addresses about the Door of a workshop that was held, with what they need."""
    made = passing.make_pass(workshop=workshop, may_except=True, by=by, at=at)
    asked = Asked(device=uuid.UUID(int=7), name="Odile Marsh", label="tablet with the blue cover")
    device = letting_in.by_pass(code=made.code, asked=asked, workshop_id=None, at=at).device
    receive(device=device, delivery=Delivery(events=[_walk_in(workshop, at)], unsent=2), at=at)
    for name in ("door_live", "door_passes", "door_held", "door_close"):
        yield name, {"workshop_id": workshop.pk}
    for name in ("door_held_set_aside", "door_held_correct"):
        yield name, {"number": WALK_IN}


def _walk_in(workshop: Workshop, at: datetime.datetime) -> dict[str, Any]:
    """Its address has no house number, so it waits for the office."""
    body = {"person": str(uuid.UUID(int=8)), "name": "Philippa Ravensworth", "street": "Bellweather Crescent"}
    return {
        "id": str(WALK_IN),
        "seq": 1,
        "schema": 1,
        "kind": "walked_in",
        "workshop": workshop.pk,
        "happened_at": at.isoformat(),
        "offset_ms": 0,
        "by": "Odile Marsh",
        "body": body | {"party": 1, "language": "en"},
    }
