"""Handing out a bin, replacing it, taking it back, voiding what never happened: one household at a time."""

import uuid
from datetime import date, datetime, time
from typing import TypedDict, Unpack

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.bins import eligibility, ledger, promising, provenance, settling, stays
from outreach.bins.balances import locked_balances
from outreach.bins.models import BinModel, Handout, RuleException, StockBalance, StockMovement, StockPlace
from outreach.bins.recorder import Recorder
from outreach.bins.rule_book import RuleBook
from outreach.households.models import Household, Participant
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

Kind = RuleException.Kind
NOON = time(12)


class HandoutFacts(TypedDict, total=False):
    """What a handout says; `household, bin_model, handed_on` are needed."""

    household: Household
    bin_model: BinModel
    handed_on: date
    happened_at: datetime
    workshop: Workshop | None
    participant: Participant | None
    lot: str
    copay_cents: int
    replaces: Handout | None
    how: str
    picked_up_by: str
    note: str
    event_id: uuid.UUID


@transaction.atomic
def hand_out(
    *,
    from_place: StockPlace,
    by: StaffMember,
    at: datetime,
    exception_reason: str = "",
    **facts: Unpack[HandoutFacts],
) -> Handout:
    """Give a household a bin: its place in the rule, the stock and the stay change together.

    Outside the rule, or with an empty shelf, it is refused with a sentence unless a reason is given;
    with one, the exception is recorded as allowed by `by`.
    """
    recorder = Recorder(by, at)
    root = _locked(facts["household"])
    _read_again(facts)
    facts.setdefault("happened_at", _instant(facts["handed_on"], at))
    handout = Handout(counted_under_id=root.pk, entered_at=at, entered_by=by, **facts)
    _refuse_the_impossible(handout, at)
    _place_in_the_rule(handout, root, exception_reason, recorder)
    _excuse_an_empty_shelf(handout, from_place, exception_reason, recorder)
    handout.order_id = provenance.next_order(handout.bin_model_id, handout.handed_on)
    handout.full_clean()
    handout.save()
    _leave(handout, from_place, recorder)
    stays.rebuild_roots([root.pk])
    promising.fulfil_by(handout)
    return handout


def _locked(household: Household) -> settling.Root:
    return settling.locked_roots([household.pk])[household.pk]


def _read_again(facts: HandoutFacts) -> None:
    """Under the lock: someone may have recorded a move or a return since the caller read them."""
    facts["household"] = Household.objects.get(pk=facts["household"].pk)
    replaced = facts.get("replaces")
    if replaced is not None:
        facts["replaces"] = Handout.objects.get(pk=replaced.pk)


def _instant(handed_on: date, at: datetime) -> datetime:
    """Now for a bin of today, noon for one entered later."""
    if timezone.localdate(at) == handed_on:
        return at
    return timezone.make_aware(datetime.combine(handed_on, NOON))


def _refuse_the_impossible(handout: Handout, at: datetime) -> None:
    ended_on = handout.household.ended_on or handout.counted_under.ended_on
    if ended_on is not None and handout.handed_on >= ended_on:
        sentence = _(
            "This household moved out on %(day)s. Record the people who live there now as a new household."
        )
        raise ValidationError(sentence % {"day": date_format(ended_on, "j F Y")}, code="moved_out")
    if handout.handed_on > timezone.localdate(at):
        raise ValidationError(_("The day is still to come. Record the handout when it has happened."))
    replaced = handout.replaces
    if replaced is not None and replaced.counted_under_id != handout.counted_under_id:
        raise ValidationError(_("The bin to be replaced belongs to another household."))
    if replaced is not None and (replaced.voided_at or replaced.returned_on):
        raise ValidationError(_("That bin is no longer with the household, so it cannot be replaced."))


def _place_in_the_rule(handout: Handout, root: settling.Root, reason: str, recorder: Recorder) -> None:
    known, verdicts = settling.verdicts_of([root], [handout])
    verdict = eligibility.verdict_beside(handout, known, verdicts)
    if verdict.kind:
        rule = RuleBook.read().in_force(root.jurisdiction_id, handout.handed_on)
        if not reason.strip():
            raise ValidationError(eligibility.standing_from(verdict, rule).sentence, code=verdict.kind)
        handout.exception = _allowed(verdict.kind, verdict.about, handout, reason, recorder)
        known, verdicts = settling.verdicts_of([root], [handout])
    settling.write(known, [handout], verdicts, recorder)


def _allowed(kind: str, about: str, handout: Handout, reason: str, recorder: Recorder) -> RuleException:
    return RuleException.objects.create(
        kind=kind,
        about=about,
        household=handout.household,
        flagged_at=recorder.at,
        flagged_by=recorder.by,
        reason=reason.strip(),
        reasoned_at=recorder.at,
        allowed_by=recorder.by,
    )


def _excuse_an_empty_shelf(handout: Handout, place: StockPlace, reason: str, recorder: Recorder) -> None:
    if not place.has_balance:
        raise ValidationError(_("Bins are handed out from a store. Choose one."))
    balance = locked_balances([(place.pk, handout.bin_model_id)])[place.pk, handout.bin_model_id]
    if balance.on_hand > 0:
        return
    if not reason.strip():
        raise ValidationError(_none_left(balance), code=Kind.NONE_ON_LEDGER)
    about = _("The ledger had none left at %(place)s.") % {"place": place}
    handout.stock_exception = _allowed(Kind.NONE_ON_LEDGER, about, handout, reason, recorder)


def _none_left(balance: StockBalance) -> str:
    return ledger.none_left(balance.bin_model, balance.place, balance.on_hand)


def _leave(handout: Handout, from_place: StockPlace, recorder: Recorder) -> None:
    ledger.move(
        by=recorder.by,
        at=recorder.at,
        excuse=handout.stock_exception,
        event_id=ledger.leaving_event(handout),
        bin_model=handout.bin_model,
        quantity=1,
        from_place=from_place,
        to_place=StockPlace.objects.end(StockPlace.Kind.HOUSEHOLDS),
        why=StockMovement.Why.HANDED_OUT,
        lot=handout.lot,
        handout=handout,
        moved_on=handout.handed_on,
    )


@transaction.atomic
def replace(
    *,
    handout: Handout,
    from_place: StockPlace,
    replaced_on: date,
    by: StaffMember,
    at: datetime,
    old_bin_to: StockPlace | None = None,
    **facts: Unpack[HandoutFacts],
) -> Handout:
    """Give another bin (or part) for a broken or recalled one: no new place in the rule is used.

    `old_bin_to` says where the old one went, where it came back: a store or scrap.
    """
    facts.setdefault("bin_model", handout.bin_model)
    facts |= {"household": handout.household, "handed_on": replaced_on, "replaces": handout}
    new = hand_out(from_place=from_place, by=by, at=at, **facts)
    if old_bin_to is not None:
        take_back(handout=handout, to_place=old_bin_to, taken_back_on=replaced_on, by=by, at=at)
    return new


@transaction.atomic
def take_back(
    *, handout: Handout, to_place: StockPlace, taken_back_on: date, by: StaffMember, at: datetime
) -> Handout:
    """A household brought its bin back, to a store or to scrap: its stay ends unless another bin is in use.

    So a broken bin that was replaced and will never come is declared scrapped. Its place in the rule is free
    again once it and all that replaced it are gone, where the rule gives it back.
    """
    root = _locked(handout.household)
    handout = Handout.objects.select_for_update(of=("self",)).get(pk=handout.pk)
    if handout.returned_on is not None and handout.replaced_by.standing().exists():
        raise ValidationError(_("This bin came back when another replaced it. Take back the one in use."))
    if handout.voided_at is not None or handout.returned_on is not None:
        raise ValidationError(_("This bin has already come back, or its handout was voided."))
    handout.returned_on = taken_back_on
    handout.full_clean()
    handout.save(update_fields=["returned_on"])
    recorder = Recorder(by, at)
    _come_back(handout, to_place, taken_back_on, recorder)
    settling.settle([root], recorder)
    stays.rebuild_roots([root.pk, *_carried_to(handout)])
    handout.refresh_from_db()
    return handout


def _come_back(handout: Handout, to_place: StockPlace, on: date, recorder: Recorder) -> None:
    ledger.take_back(
        to_place=to_place,
        taken_back_on=on,
        by=recorder.by,
        at=recorder.at,
        event_id=uuid.uuid5(handout.event_id, "taken back"),
        bin_model=handout.bin_model,
        quantity=1,
        lot=handout.lot,
        handout=handout,
    )


def _carried_to(handout: Handout) -> list[int]:
    """Households at other addresses to which the bin came along."""
    return list(handout.carried.values_list("counted_under", flat=True))


@transaction.atomic
def void(*, handout: Handout, reason: str, by: StaffMember, at: datetime) -> Handout:
    """Say that a handout never happened: its place is free, the bin is back in the ledger, the stay corrected."""
    if not reason.strip():
        raise ValidationError(_("Say why the handout is voided."), code="required")
    root = _locked(handout.household)
    handout = Handout.objects.select_for_update(of=("self",)).select_related("exception").get(pk=handout.pk)
    if handout.voided_at is not None:
        raise ValidationError(_("This handout was already voided."))
    if handout.replaced_by.standing().exists():
        raise ValidationError(_("Another bin replaced this one. Void that handout first."))
    recorder = Recorder(by, at)
    _mark_void(handout, reason, recorder)
    _give_back(handout, recorder)
    promising.stand_again(handout, at)
    settling.settle([root], recorder)
    stays.rebuild_roots([root.pk, *_carried_to(handout)])
    return handout


def _mark_void(handout: Handout, reason: str, recorder: Recorder) -> None:
    flags = [flag for flag in (handout.exception, handout.stock_exception) if flag and not flag.reason]
    for name in ("slot", "slots", "window_from_on"):
        setattr(handout, name, None)
    handout.allowance = ""
    handout.voided_at, handout.voided_by, handout.void_reason = recorder.at, recorder.by, reason.strip()
    if handout.exception in flags:
        handout.exception = None
    if handout.stock_exception in flags:
        handout.stock_exception = None
    handout.full_clean()
    handout.save()
    for flag in flags:
        if not flag.handouts.exists() and not flag.stock_handouts.exists():
            flag.delete()


def _give_back(handout: Handout, recorder: Recorder) -> None:
    """Undo the movement by a new one, unless the bin has already come back."""
    left = handout.movements.filter(why=StockMovement.Why.HANDED_OUT).select_related("from_place").first()
    if left is None or handout.returned_on is not None:
        return
    ledger.move(
        by=recorder.by,
        at=recorder.at,
        event_id=uuid.uuid5(handout.event_id, "voided"),
        bin_model=handout.bin_model,
        quantity=1,
        from_place=left.to_place,
        to_place=left.from_place,
        why=StockMovement.Why.VOIDED,
        lot=handout.lot,
        handout=handout,
        moved_on=timezone.localdate(recorder.at),
    )
