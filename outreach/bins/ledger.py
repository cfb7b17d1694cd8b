"""The stock ledger: a movement and its balances change together, and nothing leaves an empty shelf.

Balances are locked in the order (place, bin model), so that two people never wait for each other.
"""

import uuid
from collections import Counter
from collections.abc import Sequence
from datetime import date, datetime
from typing import TypedDict, Unpack

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins import quick_rows, shortages
from outreach.bins.balances import Key, locked_balances
from outreach.bins.models import (
    BinModel,
    BinOrder,
    Handout,
    RuleException,
    StockBalance,
    StockMovement,
    StockPlace,
)
from outreach.bins.recorder import Recorder
from outreach.staff.models import StaffMember

Why = StockMovement.Why


class MovementFacts(TypedDict, total=False):
    """What a movement says; `bin_model, quantity, from_place, to_place, why, moved_on` are needed."""

    bin_model: BinModel
    quantity: int
    from_place: StockPlace
    to_place: StockPlace
    why: str
    moved_on: date
    order: BinOrder | None
    handout: Handout | None
    lot: str
    note: str
    event_id: uuid.UUID | None


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


def _given(facts: MovementFacts) -> MovementFacts:
    return {name: value for name, value in facts.items() if name != "event_id" or value}  # type: ignore[return-value]


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
    quick_rows.insert(
        StockMovement,
        [_leaving(handout, from_place.pk, households.pk, recorder) for handout in handouts],
    )


def leaving_event(handout: Handout) -> uuid.UUID:
    """The number of the movement that a handout makes: the same handout cannot leave twice."""
    return uuid.uuid5(handout.event_id, "handed out")


def _leaving(handout: Handout, from_id: int, to_id: int, recorder: Recorder) -> quick_rows.Row:
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
    facts = {"count": max(on_hand, 0), "model": bin_model, "place": place}
    has = ngettext(
        "The ledger has %(count)d %(model)s at %(place)s.",
        "The ledger has %(count)d of %(model)s at %(place)s.",
        facts["count"],
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
    to_place: StockPlace,
    received_on: date,
    by: StaffMember | None,
    at: datetime,
    **facts: Unpack[MovementFacts],
) -> StockMovement:
    """Bins come from a supplier, against an order where there is one: `bin_model, quantity, order, lot, note`."""
    order = facts.get("order")
    if order is not None:
        BinOrder.objects.select_for_update().get(pk=order.pk)
        _fits(order, facts["bin_model"])
    ends = {"from_place": StockPlace.objects.end(StockPlace.Kind.SUPPLIERS), "to_place": to_place}
    return move(by=by, at=at, **{**facts, **ends, "why": Why.RECEIVED, "moved_on": received_on})  # type: ignore[misc]


def _fits(order: BinOrder, bin_model: BinModel) -> None:
    if order.cancelled_on is not None:
        raise ValidationError(
            _("This order was cancelled. Receive the bins without it, or make a new order.")
        )
    if order.bin_model_id != bin_model.pk:
        raise ValidationError(_("The order is for another bin model. Receive these without it."))


@transaction.atomic
def count(
    *,
    place: StockPlace,
    counted_on: date,
    by: StaffMember | None,
    at: datetime,
    **facts: Unpack[MovementFacts],
) -> StockMovement | None:
    """A person counted `quantity` of `bin_model` on the shelf; the difference, if any, is a movement."""
    key = (place.pk, facts["bin_model"].pk)
    balance = locked_balances([key])[key]
    difference = facts["quantity"] - balance.on_hand
    if difference == 0:
        return None
    unknown = StockPlace.objects.end(StockPlace.Kind.COUNT)
    ends = (unknown, place) if difference > 0 else (place, unknown)
    return move(
        by=by,
        at=at,
        **{
            **facts,
            "quantity": abs(difference),
            "from_place": ends[0],
            "to_place": ends[1],
            "why": Why.COUNTED,
            "moved_on": counted_on,
        },
    )


def write_off(
    *,
    place: StockPlace,
    written_off_on: date,
    by: StaffMember | None,
    at: datetime,
    **facts: Unpack[MovementFacts],
) -> StockMovement:
    """Bins that are broken or lost leave the ledger: `bin_model, quantity, lot, note`."""
    ends = {"from_place": place, "to_place": StockPlace.objects.end(StockPlace.Kind.SCRAP)}
    return move(by=by, at=at, **{**facts, **ends, "why": Why.WRITTEN_OFF, "moved_on": written_off_on})  # type: ignore[misc]


def take_back(
    *,
    to_place: StockPlace,
    taken_back_on: date,
    by: StaffMember | None,
    at: datetime,
    **facts: Unpack[MovementFacts],
) -> StockMovement:
    """Bins come back from households, to a store or to scrap: `bin_model, quantity, handout, lot, note`."""
    ends = {"from_place": StockPlace.objects.end(StockPlace.Kind.HOUSEHOLDS), "to_place": to_place}
    return move(by=by, at=at, **{**facts, **ends, "why": Why.TAKEN_BACK, "moved_on": taken_back_on})  # type: ignore[misc]
