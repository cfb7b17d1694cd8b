"""What a device says when it asks to be let in, and what it is answered."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.utils.translation import gettext as _

from outreach.door.envelopes import uuid_of
from outreach.door.letting_in import Asked, LetIn, NotLetIn

LONGEST = 200


def text(said: Mapping[str, Any], name: str) -> str:
    value = said.get(name)
    return value.strip()[:LONGEST] if isinstance(value, str) else ""


def number(said: Mapping[str, Any], name: str) -> int | None:
    value = said.get(name)
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) >= 2**63:
        return None
    return value


def asked(said: Mapping[str, Any]) -> Asked:
    """Who uses the device, and its own number."""
    device = uuid_of(said.get("device"))
    if device is None:
        raise NotLetIn(_("The device has no number of its own. Open the Door's page again."))
    if not text(said, "name"):
        raise NotLetIn(_("Give the name of whoever uses the device."))
    return Asked(device=device, name=text(said, "name"), label=text(said, "label")[:120])


def answer(let_in: LetIn, at: datetime) -> dict[str, Any]:
    """What the device keeps."""
    device = let_in.device
    return {
        "device": str(device.uuid),
        "token": let_in.token,
        "workshop": device.workshop_id,
        "by": device.by_name,
        "may_except": device.may_except,
        "expires_at": device.expires_at.isoformat(),
        "server_now": at.isoformat(),
    }
