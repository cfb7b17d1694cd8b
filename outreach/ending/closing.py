"""Doing the steps of the end one by one, and taking them back until contact data are destroyed."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.bins import ledger
from outreach.bins.models import StockBalance, StockMovement, StockPlace
from outreach.ending import missing
from outreach.ending.models import EndStep
from outreach.filings.models import Filing
from outreach.followup.models import Wave
from outreach.households import retention
from outreach.post.models import Message
from outreach.post.settling import withdraw_all
from outreach.staff.models import StaffMember

Step = EndStep.Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Who does a step, when, and what they say to it (what becomes of the bins)."""

    by: StaffMember
    at: datetime
    words: str = ""


def is_done(step: str) -> bool:
    """Whether the last thing said of a step is that it is done."""
    last = EndStep.objects.filter(step=step).order_by("pk").last()
    return last is not None and last.is_done


@transaction.atomic
def do(*, step: str, act: Act) -> EndStep:
    """Do a step and note it.

    Raises
    ------
    ValidationError
        While anything is missing before it, with every sentence; or where it is done already.
    """
    if is_done(step):
        raise ValidationError(_("This step is done already."))
    waits_for = missing.before(step, on=timezone.localdate(act.at))
    if waits_for:
        raise ValidationError([one.sentence for one in waits_for])
    return note(step=step, is_done=True, facts=_DOES[Step(step)](act), act=act)


@transaction.atomic
def take_back(*, step: str, act: Act) -> EndStep:
    """Take a step back: the programme goes on there. Not once contact data are destroyed."""
    if is_done(Step.CONTACT_DATA):
        raise ValidationError(_("Contact data are destroyed. The end cannot be called off any more."))
    last = EndStep.objects.filter(step=step).order_by("pk").last()
    if last is None or not last.is_done:
        raise ValidationError(_("This step is not done."))
    undoes = _TAKES_BACK.get(Step(step))
    return note(step=step, is_done=False, facts=undoes(last, act) if undoes else {}, act=act)


def note(*, step: str, is_done: bool, facts: Mapping[str, Any], act: Act) -> EndStep:
    """Add the row that says so."""
    row = EndStep(step=step, is_done=is_done, facts=dict(facts), said_at=act.at, said_by=act.by)
    row.full_clean()
    row.save()
    return row


def _name_the_last_filing(act: Act) -> dict[str, Any]:
    last = Filing.objects.standing().without_contents().order_by("-last_day_on", "-pk").first()
    return {"filing": last.pk, "last_day_on": last.last_day_on.isoformat()} if last else {}


def _close_sign_up(act: Act) -> dict[str, Any]:
    """Waves are asked no more, and what waits to be sent is taken back; old links lead to a kind page."""
    waves = list(Wave.objects.filter(is_open=True))
    for wave in waves:
        wave.is_open = False
        wave.save(update_fields=["is_open"])
    withdrawn = withdraw_all(Message.objects.queued(), at=act.at)
    return {"waves": [wave.pk for wave in waves], "messages_withdrawn": withdrawn}


def _open_waves_again(done: EndStep, act: Act) -> dict[str, Any]:
    waves = list(Wave.objects.filter(pk__in=done.facts["waves"]))
    for wave in waves:
        wave.is_open = True
        wave.save(update_fields=["is_open"])
    return {"waves": [wave.pk for wave in waves]}


def _empty_stores(act: Act) -> dict[str, Any]:
    """Every bin in a store leaves the ledger with the reason; households keep theirs."""
    balances = list(StockBalance.objects.with_bins().select_related("place", "bin_model"))
    if balances and not act.words:
        raise ValidationError(_("Say what becomes of the bins that are left: to whom, or why written off."))
    moved = [
        ledger.write_off(
            bin_model=one.bin_model,
            quantity=one.on_hand,
            place=one.place,
            written_off_on=timezone.localdate(act.at),
            note=act.words[:300],
            by=act.by,
            at=act.at,
        )
        for one in balances
    ]
    return {"movements": [one.pk for one in moved], "bins": sum(one.quantity for one in moved)}


def _fill_stores_again(done: EndStep, act: Act) -> dict[str, Any]:
    """What was written off comes back by as many movements: the ledger only grows."""
    gone = StockMovement.objects.filter(pk__in=done.facts["movements"])
    back = [
        ledger.move(
            bin_model=one.bin_model,
            quantity=one.quantity,
            from_place=StockPlace.objects.end(StockPlace.Kind.SCRAP),
            to_place=one.from_place,
            why=StockMovement.Why.MOVED,
            moved_on=timezone.localdate(act.at),
            note=_("The end of the programme was called off."),
            by=act.by,
            at=act.at,
        )
        for one in gone.select_related("bin_model", "from_place")
    ]
    return {"movements": [one.pk for one in back], "bins": sum(one.quantity for one in back)}


def _begin_retention(act: Act) -> dict[str, Any]:
    schedule = retention.begin_for_all(by=act.by, at=act.at)
    until = retention.everybody_until(schedule)
    return {"until_on": until.isoformat() if until else ""}


def _call_retention_off(done: EndStep, act: Act) -> dict[str, Any]:
    retention.call_off_for_all(by=act.by, at=act.at)
    return {}


def _by_a_worker(act: Act) -> dict[str, Any]:
    raise ValidationError(_("A worker does this step. Ask for it on the page of the end."))


_DOES: Mapping[Step, Callable[[Act], dict[str, Any]]] = {
    Step.LAST_FILING: _name_the_last_filing,
    Step.SIGN_UP: _close_sign_up,
    Step.BINS: _empty_stores,
    Step.RETENTION: _begin_retention,
    Step.OPEN_FILES: _by_a_worker,
    Step.CONTACT_DATA: _by_a_worker,
}
_TAKES_BACK: Mapping[Step, Callable[[EndStep, Act], dict[str, Any]]] = {
    Step.SIGN_UP: _open_waves_again,
    Step.BINS: _fill_stores_again,
    Step.RETENTION: _call_retention_off,
}
