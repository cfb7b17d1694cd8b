"""Forgetting a person or a household everywhere; what was counted of them stays.

Each app registers in its `AppConfig.ready()` what it holds; a test walks every field that is classed
personal and looks that a handler answers for it. Household-level quantities keep counting, filings stay.
"""

import uuid
from collections.abc import Iterable
from datetime import datetime
from typing import Protocol

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.households import forgotten_list
from outreach.households.forgotten_models import ForgettingHold, Forgotten
from outreach.households.models import Household, Participant
from outreach.households.whom import Whom, whom_of
from outreach.staff.models import StaffMember


class ForgetHandler(Protocol):
    """What an app does when people are forgotten."""

    @property
    def covers(self) -> frozenset[str]:
        """The personal fields it answers for, as 'workshops.Booking.phone'."""

    def forget(self, whom: Whom) -> dict[str, int]:
        """Empty them; how many of what were changed."""


_handlers: dict[str, ForgetHandler] = {}


def register(name: str, handler: ForgetHandler) -> None:
    """Add a handler; the same name again replaces it."""
    _handlers[name] = handler


def covered() -> frozenset[str]:
    """Every personal field that some handler answers for."""
    return frozenset().union(*(handler.covers for handler in _handlers.values()))


@transaction.atomic
def forget(
    *,
    participant: Participant | None = None,
    household: Household | None = None,
    why: Forgotten.Schedule,
    by: StaffMember | None,
    at: datetime,
) -> Forgotten:
    """Remove a person, or everybody of a household and its address, everywhere we hold them.

    The address goes with the last person who is named in a household.

    Raises
    ------
    ValidationError
        While a hold is in force: it says until when, and who holds it.
    """
    if (participant is None) == (household is None):
        raise ValueError("Name a participant or a household.")
    people, homes = _of_household(household) if household else _of_person(participant)  # type: ignore[arg-type]
    refuse_what_is_held(people, homes, at)
    act = Forgotten(
        key=uuid.uuid4(),
        people=sorted(one.pk for one in people),
        homes=sorted(one.pk for one in homes),
        schedule=why,
        forgotten_at=at,
        forgotten_by=by,
    )
    return _do(act, people, homes)


@transaction.atomic
def repeat(act: Forgotten) -> Forgotten:
    """Forget again what was forgotten before a backup was put back: the same numbers, the same act."""
    people = list(Participant.objects.numbered(act.people))
    homes = list(Household.objects.numbered(act.homes))
    act.is_repeated = True
    return _do(act, people, homes)


def refuse_what_is_held(people: Iterable[Participant], homes: Iterable[Household], at: datetime) -> None:
    """Say until when a hold keeps them."""
    hold = hold_on(people, homes, at)
    if hold is not None:
        raise ValidationError(
            _("An administrator or coordinator (%(who)s) holds these records until %(until)s: %(reason)s")
            % {"who": hold.set_by, "until": date_format(hold.until_on, "j F Y"), "reason": hold.reason}
        )


def hold_on(people: Iterable[Participant], homes: Iterable[Household], at: datetime) -> ForgettingHold | None:
    """The hold in force that lasts longest, on a household or one with which it is merged."""
    ids = {person.household_id for person in people} | {home.pk for home in homes}
    roots = {home.counted_under for home in Household.objects.numbered(ids)}
    group = {one.pk for root in roots for one in _group(root)}
    return ForgettingHold.objects.on_any(list(group | ids)).in_force(timezone.localdate(at)).first()


def _do(act: Forgotten, people: list[Participant], homes: list[Household]) -> Forgotten:
    whom = whom_of(people, homes, act.forgotten_at)
    for handler in _handlers.values():
        act.destroyed |= handler.forget(whom)
    act.full_clean()
    act.save()
    forgotten_list.add(act)
    return act


def _group(root: Household) -> list[Household]:
    return [root, *Household.objects.merged_into(root)]


def _of_household(household: Household) -> tuple[list[Participant], list[Household]]:
    """Everybody of a household and of the records merged with it; and they, met elsewhere."""
    root = household.counted_under
    people = list(Participant.objects.of(root).select_for_update())
    return _everywhere(people), _group(root)


def _of_person(person: Participant) -> tuple[list[Participant], list[Household]]:
    """A person in all their records, and the households in which nobody else is named."""
    people = _everywhere([person])
    numbers = {one.pk for one in people}
    roots = {one.household.counted_under for one in people}
    empty = [
        root
        for root in roots
        if not Participant.objects.of(root).still_named().exclude(pk__in=numbers).exists()
    ]
    return people, [home for root in empty for home in _group(root)]


def _everywhere(people: list[Participant]) -> list[Participant]:
    """These people and the other records of the same persons."""
    roots = {one.same_person_as_id or one.pk for one in people}
    return list(Participant.objects.same_as_any(roots))
