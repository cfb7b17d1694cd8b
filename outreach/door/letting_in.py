"""Letting a device in to the Door of a workshop, by a pass or by someone who signed in, and its leaving."""

import uuid
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.bins.models import StockPlace
from outreach.door.codes import code_digest, new_token, token_digest
from outreach.door.models import Device, DoorPass, DoorTable
from outreach.door.models.devices import night_of
from outreach.door.prepared import PreparedRecord
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE
from outreach.workshops.models import Workshop

FIRST_STORE = "Store"


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a device says of itself when it asks to be let in."""

    device: uuid.UUID
    name: str
    label: str = ""


class LetIn(NamedTuple):
    """A device, and its token, which only the device keeps."""

    device: Device
    token: str


class NotLetIn(Exception):
    """The code is wrong or has ended; the words are for whoever typed it."""


@transaction.atomic
def by_pass(*, code: str, asked: Asked, workshop_id: int | None, at: datetime) -> LetIn:
    """Let a device in to the workshop of a pass."""
    door_pass = DoorPass.objects.with_digest(code_digest(code))
    if door_pass is None:
        raise NotLetIn(
            _("There is no such code. Look at the card again, or ask the coordinator for a new one.")
        )
    if workshop_id is not None and workshop_id != door_pass.workshop_id:
        raise NotLetIn(_("This code is for another workshop. Ask the coordinator for one of this workshop."))
    if not door_pass.is_good(at):
        raise NotLetIn(_("This code has ended. Ask the coordinator for a new one."))
    rights = {"door_pass": door_pass, "staff_member": None, "may_except": door_pass.may_except}
    return _opened(door_pass.workshop, asked, at, rights)


@transaction.atomic
def by_staff(*, workshop: Workshop, member: StaffMember, asked: Asked, at: datetime) -> LetIn:
    """Let in the device of someone who signed in; the office may go outside the rule with a reason."""
    rights = {"door_pass": None, "staff_member": member, "may_except": member.role in OFFICE}
    return _opened(workshop, asked, at, rights)


def _opened(workshop: Workshop, asked: Asked, at: datetime, rights: dict[str, Any]) -> LetIn:
    if workshop.is_settled:
        words = _("This workshop is %(state)s. Ask the coordinator to open it again.")
        raise NotLetIn(words % {"state": workshop.get_state_display()})
    table_of(workshop)
    token = new_token()
    known = Device.objects.of(workshop).filter(uuid=asked.device).select_for_update(of=("self",)).first()
    device = known or Device(uuid=asked.device, workshop=workshop)
    said = {
        "token_digest": token_digest(token),
        "by_name": asked.name.strip(),
        "label": asked.label.strip(),
        "opened_at": at,
        "last_seen_at": at,
        "expires_at": night_of(workshop, at),
        "revoked_at": None,
        "revoked_by": None,
        "ended_at": None,
    }
    for name, value in (said | rights).items():
        setattr(device, name, value)
    try:
        device.full_clean()
    except ValidationError as problem:
        raise NotLetIn(" ".join(problem.messages)) from problem
    device.save()
    return LetIn(device, token)


_BY_TOKEN: PreparedRecord[Device] = PreparedRecord(Device.objects.with_token, str)


def device_with(token: str) -> Device | None:
    """The device that was given this token."""
    return _BY_TOKEN.one(token_digest(token))


def table_of(workshop: Workshop) -> DoorTable:
    """Where the bins of this workshop's Door come from: where a person said, else the fullest store."""
    table = DoorTable.objects.filter(workshop=workshop).select_related("place").first()
    if table is None:
        table = DoorTable.objects.get_or_create(workshop=workshop, defaults={"place": _fullest_store()})[0]
    return table


def _fullest_store() -> StockPlace:
    fullest = StockPlace.objects.stores().fullest_first().first()
    return fullest or StockPlace.objects.create(name=FIRST_STORE)


@transaction.atomic
def leave(*, device: Device, at: datetime) -> Device:
    """The device has sent everything and forgets its token."""
    device = Device.objects.select_for_update(of=("self",)).get(pk=device.pk)
    device.ended_at, device.last_seen_at, device.unsent = at, at, 0
    device.save(update_fields=["ended_at", "last_seen_at", "unsent"])
    return device
