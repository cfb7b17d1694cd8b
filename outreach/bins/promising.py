"""Bins kept for households: at a workshop until it starts, or owed after one. A seat is not a bin.

A workshop has as many bins to promise as are planned for it. At its start what nobody came for goes to
those who are there without one, in the order in which they came.
"""

from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.bins import eligibility
from outreach.bins.models import BinModel, Handout, Promise
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.workshops import seats
from outreach.workshops.models import Registration, Workshop

State = Promise.State


def left_to_promise(workshop: Workshop) -> int:
    """Bins planned for a workshop that are neither kept for a household nor already gone."""
    kept = Promise.objects.at(workshop).kept().count()
    gone = Handout.objects.at(workshop).standing().count()
    return max(workshop.bins_planned - kept - gone, 0)


@transaction.atomic
def promise(
    *,
    household: Household,
    workshop: Workshop,
    at: datetime,
    by: StaffMember | None = None,
    bin_model: BinModel | None = None,
) -> Promise | None:
    """Keep a bin for a household at a workshop; none where the rule, the plan or another promise says no."""
    workshop = seats.locked(workshop)
    root = _locked_root(household)
    if Promise.objects.kept().counted_for(root).exists():
        return Promise.objects.kept().counted_for(root).at(workshop).first()
    if not left_to_promise(workshop) or not _may_have_bin(household, workshop.held_on):
        return None
    kept = Promise(
        household=household,
        counted_under=root,
        workshop=workshop,
        bin_model=bin_model,
        made_at=at,
        made_by=by,
        kept_until=workshop.starts_at,
    )
    kept.full_clean()
    kept.save()
    return kept


def _locked_root(household: Household) -> Household:
    root = Household.objects.get(pk=household.pk).counted_under
    return Household.objects.select_for_update().get(pk=root.pk)


def _may_have_bin(household: Household, on: date) -> bool:
    return eligibility.standing_of(household, on).may_have_bin


@transaction.atomic
def lapse(*, promise: Promise, at: datetime) -> Promise:
    """Let a promise go; said twice is once."""
    promise = Promise.objects.select_for_update().get(pk=promise.pk)
    if promise.state == State.KEPT:
        promise.state, promise.lapsed_at = State.LAPSED, at
        promise.full_clean()
        promise.save(update_fields=["state", "lapsed_at"])
    return promise


@transaction.atomic
def lapse_unclaimed(*, workshop: Workshop, at: datetime) -> int:
    """Once a workshop has started: let go what nobody came for, and keep those bins for whoever is there
    without one, in the order in which they came. Return how many lapsed; run again, it changes nothing."""
    workshop = seats.locked(workshop)
    if workshop.starts_at is None or at < workshop.starts_at:
        return 0
    came = Registration.objects.at(workshop).who_came()
    there = set(came.values_list("counted_under", flat=True))
    unclaimed = [one for one in Promise.objects.at(workshop).kept() if one.counted_under_id not in there]
    for one in unclaimed:
        lapse(promise=one, at=at)
    _keep_for_those_there(workshop, at)
    return len(unclaimed)


def _keep_for_those_there(workshop: Workshop, at: datetime) -> None:
    served = set(
        Promise.objects.at(workshop).exclude(state=State.LAPSED).values_list("counted_under", flat=True)
    )
    served |= set(Handout.objects.at(workshop).standing().values_list("counted_under", flat=True))
    in_turn = Registration.objects.at(workshop).who_came().in_order_of_arrival().select_related("household")
    for registration in in_turn:
        if not left_to_promise(workshop):
            return
        if registration.counted_under_id not in served and _wants_one(registration):
            served.add(registration.counted_under_id)
            promise(household=registration.household, workshop=workshop, at=at)


def _wants_one(registration: Registration) -> bool:
    return registration.booking is None or registration.booking.wants_bin


@transaction.atomic
def fulfil(*, promise: Promise, handout: Handout) -> Promise:
    """The household has its bin."""
    promise = Promise.objects.select_for_update().get(pk=promise.pk)
    promise.state, promise.handout, promise.lapsed_at = State.FULFILLED, handout, None
    promise.full_clean()
    promise.save(update_fields=["state", "handout", "lapsed_at"])
    return promise


def fulfil_by(handout: Handout) -> None:
    """A bin went out: it makes good whatever was kept for the household. A replacement makes good nothing."""
    if handout.replaces_id is not None or handout.voided_at is not None:
        return
    kept = Promise.objects.kept().counted_for_any([handout.counted_under_id]).first()
    if kept is not None:
        fulfil(promise=kept, handout=handout)


def stand_again(handout: Handout, at: datetime) -> None:
    """A handout never happened: a bin that was owed is owed again, one kept at a workshop has lapsed."""
    for made_good in Promise.objects.select_for_update().filter(handout=handout):
        made_good.handout = None
        taken = Promise.objects.kept().counted_for_any([made_good.counted_under_id]).exists()
        is_owed = made_good.owed_from_id is not None and not taken
        made_good.state, made_good.lapsed_at = (State.KEPT, None) if is_owed else (State.LAPSED, at)
        made_good.full_clean()
        made_good.save(update_fields=["handout", "state", "lapsed_at"])


@transaction.atomic
def owe(
    *,
    household: Household,
    workshop: Workshop,
    due_on: date,
    at: datetime,
    by: StaffMember | None = None,
    bin_model: BinModel | None = None,
) -> Promise:
    """A household went home from a workshop without its bin: it is owed one by a day."""
    root = _locked_root(household)
    if due_on < workshop.held_on:
        raise ValidationError({"due_on": _("A bin is owed by a day after the workshop.")})
    standing = eligibility.standing_of(household, timezone.localdate(at))
    if not standing.may_have_bin:
        raise ValidationError(standing.sentence)
    owed = Promise.objects.kept().counted_for(root).select_for_update().first()
    if owed is None:
        owed = Promise(household=household, counted_under=root, made_at=at, made_by=by)
    owed.workshop, owed.owed_from, owed.promised_for_on = None, workshop, due_on
    owed.bin_model, owed.kept_until = bin_model or owed.bin_model, None
    owed.full_clean()
    owed.save()
    return owed


def owe_what_was_kept(kept: Promise, *, due_on: date) -> None:
    """They came, and went home without the bin that was kept for them at the workshop."""
    kept.owed_from, kept.workshop, kept.kept_until = kept.workshop, None, None
    kept.promised_for_on = due_on
    kept.full_clean()
    kept.save(update_fields=["owed_from", "workshop", "kept_until", "promised_for_on"])
