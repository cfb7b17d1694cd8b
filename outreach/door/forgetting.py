"""What the Door empties when people are forgotten. Devices fetch the roster anew and so lose the name."""

import uuid
from typing import Any

from outreach.door.models import DoorEvent, EventOutcome
from outreach.households.forgetting import ForgetHandler
from outreach.households.forgetting_rows import Rows, emptied, masked, rewrite
from outreach.households.whom import Whom
from outreach.staff import guard

DIGEST = "It is a digest of a code of the programme's own, not of a person."
# Words of a body that tell who someone is; the rest tells what happened and is kept.
WHO = frozenset(
    ["name", "street", "unit", "email", "phone", "typed_name", "initials", "reason", "why", "receipt", "note"]
)


class Events:
    """What devices sent about them: who it was is put out, what happened stays."""

    covers = frozenset(["door.DoorEvent.body", "door.DoorEvent.by_name"])

    def forget(self, whom: Whom) -> dict[str, int]:
        with guard.lifted_for(DoorEvent):
            changed = rewrite(DoorEvent.objects.about(self._numbers(whom)), ["body"], _without_who)
            changed |= rewrite(DoorEvent.objects.exclude(body={}), ["body"], lambda body: masked(body, whom))
            changed |= rewrite(DoorEvent.objects.all(), ["by_name"], lambda name: masked(name, whom))
        return {"door.DoorEvent": len(changed)} if changed else {}

    def _numbers(self, whom: Whom) -> set[uuid.UUID]:
        """The events that came to be about them."""
        return set(EventOutcome.objects.about(whom.people).values_list("event", flat=True))


def _without_who(body: Any) -> Any:
    if isinstance(body, dict):
        return {
            key: emptied(value) if key in WHO and isinstance(value, str) else _without_who(value)
            for key, value in body.items()
        }
    return body


OF_PEOPLE = ["participant", "registration__participant"]

HANDLERS: dict[str, ForgetHandler] = {
    "door passes": Rows("door.DoorPass", leaves={"code_digest": DIGEST}),
    "devices": Rows("door.Device", masks=["by_name", "label"], leaves={"token_digest": DIGEST}),
    "door co-pays": Rows(
        "door.Copay",
        empties=["receipt", "why"],
        of_people=["event__outcome__participant", "event__outcome__registration__participant"],
    ),
    "door events": Events(),
    "door outcomes": Rows(
        "door.EventOutcome", empties=["words", "reason", "corrections"], of_people=OF_PEOPLE
    ),
    "closings": Rows("door.Closing", masks=["difference_explained", "devices_reason", "materials"]),
}
