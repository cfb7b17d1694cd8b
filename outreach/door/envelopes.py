"""What a device sends → a row that keeps it; what cannot be read is kept as it is, with the columns empty."""

import json
import uuid
from datetime import UTC, datetime, timedelta
from typing import Any

from django.utils.dateparse import parse_datetime

from outreach.door.models import Device, DoorEvent

MOST = 2**63 - 1
A_YEAR_MS = 366 * 24 * 60 * 60 * 1000
KIND_LENGTH, NAME_LENGTH = 40, 200


def as_row(sent: Any, device: Device, at: datetime) -> DoorEvent:
    """One event as it was sent. Without a number of its own it gets one made of what it says."""
    said = sent if isinstance(sent, dict) else {}
    happened_at = _instant(said.get("happened_at"))
    offset_ms = _whole(said.get("offset_ms"), most=A_YEAR_MS) or 0
    body = said.get("body")
    read = body if isinstance(body, dict) else {}
    return DoorEvent(
        id=number_of(sent, device),
        device=device,
        seq=_whole(said.get("seq")),
        schema=_whole(said.get("schema"), most=2**31 - 1) or 0,
        kind=_words(said.get("kind"), KIND_LENGTH),
        workshop_number=_whole(said.get("workshop")),
        happened_at=happened_at,
        offset_ms=offset_ms,
        corrected_at=_corrected(happened_at, offset_ms),
        by_name=_words(said.get("by"), NAME_LENGTH),
        body=_keepable(body if isinstance(body, dict) else {"as sent": sent}),
        person=uuid_of(read.get("person")),
        undoes=uuid_of(read.get("event")),
        received_at=at,
    )


def number_of(sent: Any, device: Device) -> uuid.UUID:
    """The event's own number, or one made of its content, so that the same content is one event."""
    own = uuid_of(sent.get("id")) if isinstance(sent, dict) else None
    return own or digest_number(sent, device)


def digest_number(sent: Any, device: Device) -> uuid.UUID:
    return uuid.uuid5(device.uuid, json.dumps(sent, sort_keys=True))


def says_the_same(row: DoorEvent, other: DoorEvent) -> bool:
    """Two events of one number are one where they say the same; when it was sent does not matter."""
    names = ("kind", "happened_at", "body")
    return all(getattr(row, name) == getattr(other, name) for name in names)


def uuid_of(value: object) -> uuid.UUID | None:
    try:
        return uuid.UUID(value) if isinstance(value, str) else None
    except ValueError:
        return None


def _whole(value: object, most: int = MOST) -> int | None:
    if isinstance(value, bool) or not isinstance(value, int) or abs(value) > most:
        return None
    return value


def _words(value: object, length: int) -> str:
    return _keepable(value).strip()[:length] if isinstance(value, str) else ""


def _keepable(value: Any) -> Any:
    """The same without what no database keeps: the character of number nought, and halves of characters."""
    if isinstance(value, str):
        return value.replace("\x00", "").encode("utf-8", "replace").decode()
    if isinstance(value, list):
        return [_keepable(one) for one in value]
    if isinstance(value, dict):
        return {_keepable(key): _keepable(one) for key, one in value.items()}
    return value


def _instant(value: object) -> datetime | None:
    try:
        read = parse_datetime(value) if isinstance(value, str) else None
        return read.astimezone(UTC) if read and read.tzinfo else None
    except (ValueError, OverflowError):
        return None


def _corrected(happened_at: datetime | None, offset_ms: int) -> datetime | None:
    try:
        return happened_at + timedelta(milliseconds=offset_ms) if happened_at else None
    except OverflowError:
        return happened_at
