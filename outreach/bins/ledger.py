"""The stock ledger: a movement and its balances change together, and nothing leaves an empty shelf.

Balances are locked in the order (place, bin model), so that two people never wait for each other.
"""

import uuid
from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime
from typing import Any, Required, TypedDict, Unpack

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins import provenance, shortages
from outreach.bins.balances import Key, locked_balances
from outreach.bins.models import (
    BinModel,
    BinOrder,
    Handout,
    RuleException,
    StockBalance,
    StockCount,
    StockMovement,
    StockPlace,
)
from outreach.bins.recorder import Recorder
from outreach.staff import many_rows
from outreach.staff.models import StaffMember

Why = StockMovement.Why


class WhichBins(TypedDict, total=False):
    """Which bins an action is about; `bin_model` is needed."""

    bin_model: Required[BinModel]
    order: BinOrder | None
    handout: Handout | None
    lot: str
    note: str
    event_id: uuid.UUID | None


class MovementFacts(WhichBins, total=False):
    """What a movement says besides: from where to where, how many, why and when."""

    quantity: Required[int]
    from_place: Required[StockPlace]
    to_place: Required[StockPlace]
    why: Required[str]
    moved_on: Required[date]


@transaction.atomic
def move(
    *,
    by: StaffMember | None,
    at: datetime,
    excuse: RuleException | None = None,
    **facts: Unpack[MovementFacts],
) -> StockMovement:
    """Record a movement and change the balances; the same event twice is one movement.

    Below zero is refused with a sentence unless an exception excuses it.
    """
    movement = StockMovement(entered_by=by, entered_at=at, **_given(facts))
    known = StockMovement.objects.filter(event_id=movement.event_id).first()
    if known is not None:
        return known
    movement.full_clean()
    balances = locked_balances(_keys(movement))
    _refuse_below_zero(movement, balances, excuse)
    were_short = [key for key, balance in balances.items() if balance.excused]
    movement.save()
    _carry(movement, balances)
    shortages.ease(were_short)
    return movement


def _given(facts: MovementFacts) -> dict[str, Any]:
    """The event's number where there is one; else the row makes its own."""
    return {name: value for name, value in facts.items() if name != "event_id" or value}


def hand_over(handouts: Sequence[Handout], from_place: StockPlace, recorder: Recorder) -> None:
    """Let recorded bins leave for households, inside the caller's transaction; none is refused.

    Where the ledger falls below zero the balance says by how much it was excused.
    """
    households = StockPlace.objects.end(StockPlace.Kind.HOUSEHOLDS)
    leaving = Counter(handout.bin_model_id for handout in handouts)
    for (_place, model_id), balance in locked_balances(
        (from_place.pk, model_id) for model_id in leaving
    ).items():
        balance.change_by(-leaving[model_id])
        balance.save()
    many_rows.insert(
        StockMovement,
        [_leaving(handout, from_place.pk, households.pk, recorder) for handout in handouts],
    )


def leaving_event(handout: Handout) -> uuid.UUID:
    """The number of the movement that a handout makes: the same handout cannot leave twice."""
    return uuid.uuid5(handout.event_id, "handed out")


def _leaving(handout: Handout, from_id: int, to_id: int, recorder: Recorder) -> many_rows.Row:
    return {
        "event_id": leaving_event(handout),
        "bin_model_id": handout.bin_model_id,
        "quantity": 1,
        "from_place_id": from_id,
        "to_place_id": to_id,
        "why": Why.HANDED_OUT.value,
        "lot": handout.lot,
        "handout_id": handout.pk,
        "moved_on": handout.handed_on,
        "entered_at": recorder.at,
        "entered_by_id": recorder.by.pk if recorder.by else None,
    }


def _keys(movement: StockMovement) -> set[Key]:
    """The stores touched; suppliers, households, scrap and count differences have no balance."""
    places = (movement.from_place, movement.to_place)
    return {(place.pk, movement.bin_model_id) for place in places if place.has_balance}


def _refuse_below_zero(
    movement: StockMovement, balances: dict[Key, StockBalance], excuse: RuleException | None
) -> None:
    balance = balances.get((movement.from_place_id, movement.bin_model_id))
    if balance is not None and balance.on_hand < movement.quantity and excuse is None:
        raise ValidationError(
            none_left(balance.bin_model, balance.place, balance.on_hand), code="none_on_ledger"
        )


def none_left(bin_model: BinModel, place: StockPlace, on_hand: int) -> str:
    """The sentence of a refusal: how many the ledger has, and what to do."""
    count = max(on_hand, 0)
    facts = {"count": count, "model": bin_model, "place": place}
    has = ngettext(
        "The ledger has %(count)d %(model)s at %(place)s.",
        "The ledger has %(count)d of %(model)s at %(place)s.",
        count,
    )
    return f"{has % facts} {_('Count the shelf, or give the reason as an exception.')}"


def _carry(movement: StockMovement, balances: dict[Key, StockBalance]) -> None:
    for (place_id, _model), balance in balances.items():
        leaves = place_id == movement.from_place_id
        balance.change_by(-movement.quantity if leaves else movement.quantity)
        balance.save()


@transaction.atomic
def receive(
    *,
    quantity: int,
    to_place: StockPlace,
    received_on: date,
    by: StaffMember | None,
    at: datetime,
    **bins: Unpack[WhichBins],
) -> StockMovement:
    """Bins come from a supplier, against an order where there is one."""
    order = bins.get("order")
    if order is not None:
        order = BinOrder.objects.select_for_update(of=("self",)).get(pk=order.pk)
        _refuse_another_model(order, bins["bin_model"])
    movement = move(
        quantity=quantity,
        from_place=StockPlace.objects.end(StockPlace.Kind.SUPPLIERS),
        to_place=to_place,
        why=Why.RECEIVED,
        moved_on=received_on,
        by=by,
        at=at,
        **bins,
    )
    provenance.noticed_late(bins["bin_model"].pk, received_on)
    return movement


def _refuse_another_model(order: BinOrder, bin_model: BinModel) -> None:
    if order.cancelled_on is not None:
        raise ValidationError(
            _("This order was cancelled. Receive the bins without it, or make a new order.")
        )
    if order.bin_model_id != bin_model.pk:
        raise ValidationError(_("The order is for another bin model. Receive these without it."))


@transaction.atomic
def count(
    *,
    quantity: int,
    place: StockPlace,
    counted_on: date,
    by: StaffMember | None,
    at: datetime,
    **bins: Unpack[WhichBins],
) -> StockMovement | None:
    """A person counted so many on the shelf; the difference, if any, is a movement of its own.

    That somebody counted is kept either way.
    """
    key = (place.pk, bins["bin_model"].pk)
    ledger_said = locked_balances([key])[key].on_hand
    difference = quantity - ledger_said
    unknown = StockPlace.objects.end(StockPlace.Kind.COUNT)
    movement = difference and move(
        quantity=abs(difference),
        from_place=unknown if difference > 0 else place,
        to_place=place if difference > 0 else unknown,
        why=Why.COUNTED,
        moved_on=counted_on,
        by=by,
        at=at,
        **bins,
    )
    StockCount.objects.create(
        place=place,
        bin_model=bins["bin_model"],
        counted_on=counted_on,
        found=quantity,
        ledger_said=ledger_said,
        movement=movement or None,
        entered_at=at,
        entered_by=by,
    )
    return movement or None


def write_off(
    *,
    quantity: int,
    place: StockPlace,
    written_off_on: date,
    by: StaffMember | None,
    at: datetime,
    **bins: Unpack[WhichBins],
) -> StockMovement:
    """Bins that are broken or lost leave the ledger."""
    return move(
        quantity=quantity,
        from_place=place,
        to_place=StockPlace.objects.end(StockPlace.Kind.SCRAP),
        why=Why.WRITTEN_OFF,
        moved_on=written_off_on,
        by=by,
        at=at,
        **bins,
    )


def take_back(
    *,
    quantity: int,
    to_place: StockPlace,
    taken_back_on: date,
    by: StaffMember | None,
    at: datetime,
    **bins: Unpack[WhichBins],
) -> StockMovement:
    """Bins come back from households, to a store or to scrap."""
    return move(
        quantity=quantity,
        from_place=StockPlace.objects.end(StockPlace.Kind.HOUSEHOLDS),
        to_place=to_place,
        why=Why.TAKEN_BACK,
        moved_on=taken_back_on,
        by=by,
        at=at,
        **bins,
    )
