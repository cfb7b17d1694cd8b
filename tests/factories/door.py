"""Passes, devices and events of the Door, valid by default; and a device as the API sees it."""

import datetime
import itertools
import uuid

from outreach.bins import ledger
from outreach.bins.models import StockPlace
from outreach.door.codes import code_digest, token_digest
from outreach.door.models import Device, DoorEvent, DoorPass, DoorTable, EventOutcome
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop

UTC = datetime.UTC
# Ten in the morning where the programme is, on the workshop's day.
TEN = datetime.datetime(2025, 5, 9, 17, tzinfo=UTC)
_numbers = itertools.count(1)


def make_door_pass(**differences) -> DoorPass:
    fields = {"made_at": TEN, "code_digest": code_digest(f"CODE{next(_numbers)}")} | differences
    fields["workshop"] = fields.get("workshop") or make_workshop()
    fields["made_by"] = fields.get("made_by") or make_member()
    return DoorPass.objects.create(**fields)


def make_device(**differences) -> Device:
    """A device let in by a pass, with the token 'token-<number>'."""
    number = next(_numbers)
    fields = {
        "uuid": uuid.UUID(int=number),
        "token_digest": token_digest(f"token-{number}"),
        "by_name": f"Crew {number}",
        "opened_at": TEN,
        "last_seen_at": TEN,
        "expires_at": datetime.datetime(2025, 5, 10, 7, tzinfo=UTC),
    } | differences
    fields["workshop"] = fields.get("workshop") or make_workshop()
    if not fields.get("staff_member") and not fields.get("door_pass"):
        fields["door_pass"] = make_door_pass(workshop=fields["workshop"])
    return Device.objects.create(**fields)


def make_event(**differences) -> DoorEvent:
    fields = {
        "id": uuid.uuid4(),
        "seq": next(_numbers),
        "schema": 1,
        "kind": "headcount",
        "body": {"people": 2},
        "happened_at": TEN,
        "corrected_at": TEN,
        "received_at": TEN,
    } | differences
    fields["device"] = fields.get("device") or make_device()
    fields.setdefault("workshop_number", fields["device"].workshop_id)
    return DoorEvent.objects.create(**fields)


def make_outcome(**differences) -> EventOutcome:
    fields = {"state": "applied", "noted_at": TEN} | differences
    fields["event"] = fields.get("event") or make_event()
    return EventOutcome.objects.create(**fields)


def make_table(workshop, *, bins: int = 20, bin_model=None) -> StockPlace:
    """A table with bins of one model on it, from which the workshop's Door hands out."""
    place, bin_model = make_stock_place(), bin_model or make_bin_model()
    if bins:
        ledger.receive(
            bin_model=bin_model, quantity=bins, to_place=place, received_on=workshop.held_on, by=None, at=TEN
        )
    DoorTable.objects.create(workshop=workshop, place=place)
    return place


class Phone:
    """A device's own half: it numbers and words its events as the page does."""

    def __init__(self, device: Device, token: str = "") -> None:
        self.device, self.token, self.sent = device, token, itertools.count(1)

    def event(self, kind: str, *, at: datetime.datetime = TEN, **body) -> dict:
        number = body.pop("number", None) or uuid.uuid4()
        return {
            "id": str(number),
            "seq": next(self.sent),
            "schema": 1,
            "kind": kind,
            "workshop": self.device.workshop_id,
            "happened_at": at.isoformat(),
            "offset_ms": 0,
            "by": self.device.by_name,
            "body": body,
        }

    def arrived(self, participant, *, party: int = 1, **when) -> dict:
        return self.event("arrived", participant=participant.pk, party=party, **when)

    def walked_in(self, name: str, street: str, **said) -> dict:
        body = {"city": "", "zip": "", "unit": "", "language": "en", "party": 1, "person": str(uuid.uuid4())}
        return self.event("walked_in", **(body | {"name": name, "street": street} | said))

    def bin_given(self, who: dict, bin_model, **said) -> dict:
        body = {"handout": str(uuid.uuid4()), "copay": {"how": "none", "cents": 0}, "exception": None}
        return self.event("bin_given", **(body | who | {"model": bin_model.pk} | said))

    def undone(self, event: dict, **when) -> dict:
        return self.event("undone", event=event["id"], why="", **when)
