"""Keeping what a device sends, whatever it says, and then applying it event by event.

An event is stored before anything else happens to it; whoever is told that it is stored may delete it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any
from uuid import UUID

from django.db import IntegrityError, transaction
from django.db.models import Q

from outreach.door import applying, envelopes
from outreach.door.models import Device, DoorEvent, EventOutcome
from outreach.door.turns import in_turn

State = EventOutcome.State
MOST_UNSENT = 2**31 - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """One request of a device: its events, and how many more it still holds."""

    events: Sequence[Any]
    unsent: int = 0
    sent_at: datetime | None = None


def receive(*, device: Device, delivery: Delivery, at: datetime) -> dict[str, dict[str, str]]:
    """Store every event, apply what is new, and say of each by its number what became of it."""
    stored = _stored(device, delivery, at)
    outcomes = applying.apply_new(new=stored.new, known=stored.known, at=at)
    return _answers(stored.rows, outcomes)


@dataclass(slots=True)
class Stored:
    """The rows that keep the events of a delivery by the number the device gave; which of them are new."""

    rows: dict[str, DoorEvent] = field(default_factory=dict)
    new: list[DoorEvent] = field(default_factory=list)

    @property
    def known(self) -> list[DoorEvent]:
        fresh = {row.pk for row in self.new}
        return [row for row in self.rows.values() if row.pk not in fresh]


def _stored(device: Device, delivery: Delivery, at: datetime) -> Stored:
    """Keep these events, in one short transaction."""
    with in_turn():
        try:
            return _store(device, delivery, at)
        except IntegrityError:
            # Another request of the same device stored one of them between our look and our write.
            return _store(device, delivery, at)


@transaction.atomic
def _store(device: Device, delivery: Delivery, at: datetime) -> Stored:
    # Writing it first holds the device: its deliveries are stored one after the other.
    _note_contact(device, delivery, at)
    sent = [(one, envelopes.as_row(one, device, at)) for one in delivery.events]
    there = {row.pk: row for row in _on_record(sent, device)}
    taken = {row.seq for row in there.values() if row.device_id == device.pk}
    stored = Stored()
    for one, row in sent:
        kept = there.get(row.pk)
        if kept is not None and not envelopes.says_the_same(row, kept):
            # The same number for something else: kept beside it, for a person to look at.
            row.pk, row.seq = envelopes.digest_number(one, device), None
            kept = there.get(row.pk)
        if kept is None:
            row.seq = None if row.seq in taken else row.seq
            taken.add(row.seq)
            row.save(force_insert=True)
            kept = there[row.pk] = row
            stored.new.append(row)
        stored.rows.setdefault(_name(one), kept)
    return stored


def _on_record(sent: Sequence[tuple[Any, DoorEvent]], device: Device) -> Iterable[DoorEvent]:
    """Events that are kept already: the same ones, and others of this device with the same place in its order."""
    numbers = [number for one, row in sent for number in (row.pk, envelopes.digest_number(one, device))]
    seqs = [row.seq for _one, row in sent if row.seq is not None]
    return DoorEvent.objects.filter(Q(pk__in=numbers) | Q(device=device, seq__in=seqs)).order_by()


def _name(one: Any) -> str:
    """How the device knows it; where it gave no number, what it says."""
    own = one.get("id") if isinstance(one, dict) else None
    return own if isinstance(own, str) else repr(one)


def note_contact(*, device: Device, at: datetime) -> None:
    """The device was heard from; what it holds is as it last said."""
    Device.objects.filter(pk=device.pk).update(last_seen_at=at)


def _note_contact(device: Device, delivery: Delivery, at: datetime) -> None:
    device.last_seen_at, device.unsent = at, min(delivery.unsent, MOST_UNSENT)
    if delivery.sent_at is not None:
        device.last_offset_ms = round((at - delivery.sent_at).total_seconds() * 1000)
    Device.objects.filter(pk=device.pk).update(
        last_seen_at=device.last_seen_at, unsent=device.unsent, last_offset_ms=device.last_offset_ms
    )


def _answers(
    rows: dict[str, DoorEvent], outcomes: Sequence[EventOutcome | None]
) -> dict[str, dict[str, str]]:
    """'held' where the office has to look; all the rest is stored and the device may let it go."""
    words = _words_of_those_held([row.pk for row in rows.values()], outcomes)
    return {
        name: {"state": "held" if row.pk in words else "stored", "words": words.get(row.pk, "")}
        for name, row in rows.items()
    }


def _words_of_those_held(numbers: Sequence[UUID], outcomes: Sequence[EventOutcome | None]) -> dict[UUID, str]:
    """By event; of a single new one we know what became of it, of several the last word is on record."""
    only = outcomes[0] if len(numbers) == len(outcomes) == 1 else None
    if only is not None and only.pk == numbers[0]:
        return {only.pk: only.words} if only.state == State.HELD else {}
    held = EventOutcome.objects.filter(pk__in=numbers, state=State.HELD).order_by()
    return dict(held.values_list("pk", "words"))
