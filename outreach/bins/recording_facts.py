"""Bins that paperwork says went home: recorded as facts, in bulk, nothing refused."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from django.db import transaction

from outreach.bins import ledger, provenance, settling, shortages, stays
from outreach.bins.chunks import in_chunks
from outreach.bins.models import BinModel, Handout, StockPlace
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
    _record(list(new.values()), {root.pk: root for root in roots.values()}, from_place, recorder)
    return [known.get(fact.event_id) or new[fact.event_id] for fact in facts]


def _record(
    handouts: list[Handout], roots: dict[int, settling.Root], from_place: StockPlace, recorder: Recorder
) -> None:
    touched = {handout.counted_under_id for handout in handouts}
    provenance.set_orders(handouts)
    settling.settle([roots[pk] for pk in sorted(touched)], recorder, handouts)
    ledger.hand_over(handouts, from_place, recorder)
    shortages.settle({(from_place.pk, handout.bin_model_id) for handout in handouts}, recorder)
    stays.rebuild_roots(touched)


def _already_recorded(event_ids: Sequence[uuid.UUID]) -> dict[uuid.UUID, Handout]:
    found: dict[uuid.UUID, Handout] = {}
    for ids in in_chunks(event_ids):
        found |= Handout.objects.in_bulk(list(ids), field_name="event_id")
    return found


def _handout(fact: HandoutFact, root: settling.Root, recorder: Recorder) -> Handout:
    """By numbers, not by objects: setting thousands of relations takes longer than writing the rows."""
    return Handout(
        event_id=fact.event_id,
        household_id=fact.household.pk,
        counted_under_id=root.pk,
        participant_id=fact.participant.pk if fact.participant else None,
        workshop_id=fact.workshop.pk if fact.workshop else None,
        bin_model_id=fact.bin_model.pk,
        lot=fact.lot,
        handed_on=fact.handed_on,
        happened_at=fact.happened_at,
        entered_at=recorder.at,
        entered_by_id=recorder.by.pk if recorder.by else None,
        note=fact.note,
    )
