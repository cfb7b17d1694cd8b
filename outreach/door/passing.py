"""Making door passes and taking them back."""

from datetime import datetime
from typing import NamedTuple

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.door.codes import code_digest, new_code
from outreach.door.models import Device, DoorPass
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop


class NewPass(NamedTuple):
    """A pass, and its code, which is shown this once."""

    door_pass: DoorPass
    code: str


@transaction.atomic
def make_pass(*, workshop: Workshop, may_except: bool, by: StaffMember, at: datetime) -> NewPass:
    """A code for the Door of a workshop that ends that night."""
    if workshop.is_settled:
        raise ValidationError(
            _("This workshop is %(state)s; nobody comes to its Door any more.")
            % {"state": workshop.get_state_display()}
        )
    code = new_code()
    made = DoorPass(
        workshop=workshop, code_digest=code_digest(code), may_except=may_except, made_at=at, made_by=by
    )
    made.full_clean()
    made.save()
    return NewPass(made, code)


@transaction.atomic
def revoke_pass(*, door_pass: DoorPass, by: StaffMember, at: datetime) -> DoorPass:
    """End a pass before its night, and with it every device that it let in; said twice is once."""
    door_pass = DoorPass.objects.select_for_update(of=("self",)).get(pk=door_pass.pk)
    if door_pass.revoked_at is None:
        door_pass.revoked_at, door_pass.revoked_by = at, by
        door_pass.full_clean()
        door_pass.save(update_fields=["revoked_at", "revoked_by"])
    for device in Device.objects.let_in_by(door_pass).not_revoked():
        revoke_device(device=device, by=by, at=at)
    return door_pass


@transaction.atomic
def revoke_device(*, device: Device, by: StaffMember, at: datetime) -> Device:
    """Take a device off the Door: it loses its roster, and what it still sends waits for the office."""
    device = Device.objects.select_for_update(of=("self",)).get(pk=device.pk)
    if device.revoked_at is None:
        device.revoked_at, device.revoked_by = at, by
        device.full_clean()
        device.save(update_fields=["revoked_at", "revoked_by"])
    return device
