"""Who works here: admitting people, correcting, deactivating, and their passwords.

Every action holds the rows of the administrators who stand, so that two people who deactivate each
other at the same moment cannot leave the site without one.
"""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime

from axes.utils import reset
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff import audit
from outreach.staff.models import StaffMember
from outreach.staff.roles import Role
from outreach.staff.signing_in import as_sign_in_name

# Without letters and digits that are taken for one another on paper.
LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"


class LastAdministrator(ValidationError):
    """Nobody would be left who can admit people."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "This is the last administrator whose access does not end by itself. Make another person "
                "an administrator first."
            )
        )


@contextmanager
def _someone_stays_administrator() -> Iterator[None]:
    with transaction.atomic():
        administrators = StaffMember.objects.standing_administrators().order_by("pk").select_for_update()
        had_one = bool(list(administrators))
        yield
        if had_one and not StaffMember.objects.standing_administrators().exists():
            raise LastAdministrator


def make_one_time_password() -> str:
    """Four groups of four letters, about 79 bits."""
    return "-".join("".join(secrets.choice(LETTERS) for _ in range(4)) for _ in range(4))


def admit(
    *, username: str, full_name: str, role: str, ends_on: date | None = None, by: StaffMember | None
) -> tuple[StaffMember, str]:
    """Admit a person; return them and the one-time password, which is kept nowhere else."""
    password = make_one_time_password()
    with transaction.atomic(), audit.by(by):
        member = StaffMember(
            username=as_sign_in_name(username),
            full_name=full_name,
            role=role,
            ends_on=ends_on,
            password_is_one_time=True,
        )
        member.set_password(password)
        member.full_clean()
        member.save()
        reset(username=member.username)
    return member, password


def correct(*, member: StaffMember, by: StaffMember, reason: str = "") -> StaffMember:
    """Save a person's corrected name, sign-in name, role or last day."""
    with _someone_stays_administrator(), audit.by(by), audit.because(reason):
        member.username = as_sign_in_name(member.username)
        member.full_clean()
        member.save(update_fields=["username", "full_name", "role", "ends_on"])
    return member


def deactivate(*, member: StaffMember, by: StaffMember, at: datetime, reason: str = "") -> StaffMember:
    """End a person's access at once: they are out at their next request."""
    with _someone_stays_administrator(), audit.by(by), audit.because(reason):
        held = StaffMember.objects.select_for_update().get(pk=member.pk)
        if held.deactivated_at is None:
            held.deactivated_at, held.deactivated_by = at, by
            held.full_clean()
            held.save(update_fields=["deactivated_at", "deactivated_by"])
    return held


def reactivate(*, member: StaffMember, by: StaffMember, reason: str = "") -> tuple[StaffMember, str]:
    """Let a person who left back in, with a new one-time password."""
    with transaction.atomic(), audit.by(by), audit.because(reason):
        member.deactivated_at = member.deactivated_by = None
        member.full_clean()
        member.save(update_fields=["deactivated_at", "deactivated_by"])
        return member, give_password(member=member, by=by)


def give_password(*, member: StaffMember, by: StaffMember | None) -> str:
    """Set a new one-time password, which ends the person's sessions and their lock-out; return it."""
    password = make_one_time_password()
    with transaction.atomic(), audit.by(by):
        member.set_password(password)
        member.password_is_one_time = True
        member.save(update_fields=["password", "password_is_one_time"])
        reset(username=member.username)
    return password


def choose_password(*, member: StaffMember, password: str) -> None:
    """Set the password that a person chose for themselves."""
    with transaction.atomic(), audit.by(member):
        member.set_password(password)
        member.password_is_one_time = False
        member.save(update_fields=["password", "password_is_one_time"])


def admit_administrator(*, username: str, full_name: str) -> tuple[StaffMember, str]:
    """Admit an administrator from the machine itself, whoever is locked out."""
    with audit.because(_("Made on the machine with the command new_administrator.")):
        return admit(username=username, full_name=full_name, role=Role.ADMINISTRATOR, by=None)
