"""Bins that paperwork says went home: recorded as facts, in bulk, nothing refused."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction

from outreach.bins import ledger, settling, shortages, stays
from outreach.bins.chunks import in_chunks
from outreach.bins.models import BinModel, Handout, StockMovement, StockPlace
from outreach.bins.recorder import Recorder
from outreach.households.models import Household, Participant
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoutFact:
    """One bin that a household took home, as the paperwork has it.

    The same `event_id` twice is one fact; leave it out where the caller knows the fact is new.
    """

    household: Household
    bin_model: BinModel
    handed_on: date
    happened_at: datetime
    participant: Participant | None = None
    workshop: Workshop | None = None
    lot: str = ""
    note: str = ""
    event_id: uuid.UUID = field(default_factory=uuid.uuid4)


@transaction.atomic
def record_facts(
    facts: Sequence[HandoutFact], *, from_place: StockPlace, by: StaffMember | None, at: datetime
) -> list[Handout]:
    """Record bins handed out in the past, one handout per fact in the order given.

    A second bin, a resident of elsewhere, or an empty shelf is recorded and flagged as an exception that
    waits for its reason. Facts already known by their event are answered with what was recorded.
    """
    roots = settling.locked_roots(fact.household.pk for fact in facts)
    known = _already_recorded([fact.event_id for fact in facts])
    recorder = Recorder(by, at)
    new: dict[uuid.UUID, Handout] = {}
    for fact in facts:
        if fact.event_id not in known and fact.event_id not in new:
            new[fact.event_id] = _handout(fact, roots[fact.household.pk], recorder)
    handouts = list(new.values())
    settling.settle(
        {roots[h.household_id].pk: roots[h.household_id] for h in handouts}.values(), recorder, handouts
    )
    households_end = StockPlace.objects.end(StockPlace.Kind.HOUSEHOLDS)
    ledger.move_all([movement_of(handout, from_place, households_end, recorder) for handout in handouts])
    shortages.settle({(from_place.pk, h.bin_model_id) for h in handouts}, recorder)
    stays.rebuild_roots({handout.counted_under_id for handout in handouts})
    return [known.get(fact.event_id) or new[fact.event_id] for fact in facts]


def _already_recorded(event_ids: Sequence[uuid.UUID]) -> dict[uuid.UUID, Handout]:
    found: dict[uuid.UUID, Handout] = {}
    for ids in in_chunks(event_ids):
        found |= Handout.objects.in_bulk(list(ids), field_name="event_id")
    return found


def _handout(fact: HandoutFact, root: Household, recorder: Recorder) -> Handout:
    return Handout(
        event_id=fact.event_id,
        household=fact.household,
        counted_under=root,
        participant=fact.participant,
        workshop=fact.workshop,
        bin_model=fact.bin_model,
        lot=fact.lot,
        handed_on=fact.handed_on,
        happened_at=fact.happened_at,
        entered_at=recorder.at,
        entered_by=recorder.by,
        note=fact.note,
    )


def movement_of(
    handout: Handout, from_place: StockPlace, to_place: StockPlace, recorder: Recorder
) -> StockMovement:
    """The bin's way from the shelf to the household; its number follows from the handout's."""
    return StockMovement(
        event_id=leaving_event(handout),
        bin_model=handout.bin_model,
        quantity=1,
        from_place=from_place,
        to_place=to_place,
        why=StockMovement.Why.HANDED_OUT,
        lot=handout.lot,
        handout=handout,
        moved_on=handout.handed_on,
        entered_at=recorder.at,
        entered_by=recorder.by,
    )


def leaving_event(handout: Handout) -> uuid.UUID:
    """The number of the movement that a handout makes: the same handout cannot leave twice."""
    return uuid.uuid5(handout.event_id, "handed out")
