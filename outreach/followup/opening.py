"""Waves open by themselves: a household is asked once its wave has come due, if it lives there and may be asked.

Safe to run again at any moment, and by two workers at once: there is one invitation a household and wave.
"""

from datetime import date, datetime, timedelta
from itertools import zip_longest

from django.db import transaction
from django.db.models import Exists, OuterRef
from django.utils import timezone

from outreach.followup import asking_messages, calling, invitees, waves
from outreach.followup.due_days import due_on
from outreach.followup.models import Invitation, Wave
from outreach.households import consent
from outreach.households.models import Household
from outreach.households.querysets import HouseholdQuerySet


def open_due(at: datetime) -> int:
    """Ask every household whose wave has come due and that was not asked in it; how many were asked."""
    asked = waves.open_waves()
    return sum(_open_wave(wave, later, at) for wave, later in zip_longest(asked, asked[1:]))


def _open_wave(wave: Wave, later: Wave | None, at: datetime) -> int:
    on, opened = timezone.localdate(at), 0
    for household in _not_asked(wave, on).with_people():
        closes_on = _closes_on(household.first_handed_on, wave, later, on)  # type: ignore[attr-defined]
        if closes_on >= on and consent.may_ask(household, consent.Purpose.FOLLOW_UP):
            opened += _open(household, wave, closes_on, at)
    return opened


def _not_asked(wave: Wave, on: date) -> HouseholdQuerySet:
    """Those that owe an answer and live there. What came due longer ago than it can be answered is let go."""
    since = on - timedelta(days=wave.days_open)
    known = Invitation.objects.of_wave(wave).filter(counted_under=OuterRef("pk"))
    return waves.silent(wave, on=on, since=since).current(on).exclude(Exists(known))


def _closes_on(first_handed_on: date, wave: Wave, later: Wave | None, on: date) -> date:
    """The last day for an answer: an answer of a later day belongs to the wave that has come due by then."""
    last = on + timedelta(days=wave.days_open)
    if later is None:
        return last
    return min(last, due_on(first_handed_on, later.months_after) - timedelta(days=1))


def _open(household: Household, wave: Wave, closes_on: date, at: datetime) -> int:
    to = invitees.addressee(household, may_call=calling.may_call(household))
    if to is None:
        return 0
    invitation = Invitation(
        household=household,
        counted_under=household,
        wave=wave,
        opened_on=timezone.localdate(at),
        opened_at=at,
        last_asked_at=at,
        closes_on=closes_on,
        channel="none",
    )
    with transaction.atomic():
        # Under the lock, or two workers would both find that nobody has asked them yet.
        Household.objects.select_for_update().get(pk=household.pk)
        if Invitation.objects.of_wave(wave).counted_for(household).exists():
            return 0
        invitation.full_clean()
        invitation.save()
        invitation.channel = asking_messages.ask(invitation, to, at).channel
        invitation.save(update_fields=["channel"])
    return 1
