"""One event after the other becomes part of the record, each in a short transaction of its own.

An event that cannot become part of it waits, with words for the office, and changes nothing. What an
event comes to is folded from all events about the same person or household, by corrected instant and
number, so that any order of arrival ends alike.
"""

import logging
from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import OperationalError, transaction
from django.db.models import Exists, OuterRef
from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.door import arrivals, bins_given, headcounts, reading, undoing, waivers, walk_ins
from outreach.door.models import DoorEvent, EventOutcome
from outreach.door.prepared import Prepared
from outreach.door.reading import CannotRead
from outreach.door.scenes import NotThereYet, Scene
from outreach.door.turns import in_turn
from outreach.staff import audit
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

logger = logging.getLogger(__name__)
State = EventOutcome.State
# Of one event: whether it has an outcome, and whether something undoes it.
_LOOKED_AT = Prepared(
    lambda number: (
        DoorEvent.objects.numbered([number])
        .order_by()
        .values_list(
            Exists(EventOutcome.objects.filter(event=OuterRef("pk")).order_by()),
            Exists(DoorEvent.objects.filter(undoes=OuterRef("pk")).order_by()),
        )
    ),
    UUID,
)
# By the kind of an event, what folds it into the record.
SETTLE: dict[type[Any], Callable[[Scene, EventOutcome, Any], None]] = {
    reading.WalkedIn: walk_ins.settle,
    reading.Arrived: arrivals.settle,
    reading.WaiverAccepted: waivers.settle,
    reading.BinGiven: bins_given.settle,
    reading.Headcount: headcounts.settle,
    reading.Undone: undoing.settle,
}


def apply_new(
    *, new: Sequence[DoorEvent], known: Sequence[DoorEvent], at: datetime
) -> list[EventOutcome | None]:
    """Apply what is new, and what was stored before and never applied, in the order in which it happened.

    What became of each right then; a later one may have changed what became of an earlier one.
    """
    left = DoorEvent.objects.numbered(event.pk for event in known).not_applied() if known else ()
    return [apply(event=event, at=at) for event in sorted([*new, *left], key=_when)]


def _when(event: DoorEvent) -> tuple[bool, float, UUID]:
    instant = event.corrected_at
    return instant is None, instant.timestamp() if instant else 0, event.pk


def apply_left_over(*, workshop: Workshop, at: datetime) -> None:
    """Apply what was stored right before the server stopped."""
    left = DoorEvent.objects.at(workshop).not_applied().select_related("device").in_order()
    for event in list(left):
        apply(event=event, at=at)


def apply(*, event: DoorEvent, at: datetime) -> EventOutcome | None:
    """Fold one event into the record, or write down what it waits for; done twice is done once, and says nothing."""
    with in_turn(), transaction.atomic():
        scene = Scene.of(event.device, at)
        ((is_applied, is_undone),) = _LOOKED_AT.rows(event.pk)
        if is_applied:
            return None
        if not is_undone:
            scene.never_undone.add(event.pk)
        outcome = EventOutcome(event=event, state=State.APPLIED, noted_at=at)
        words = _why_held(scene, event)
        if words:
            _waits(outcome, State.HELD, words)
        else:
            _fold(scene, outcome)
        return outcome


@transaction.atomic
def release(*, outcome: EventOutcome, by: StaffMember, at: datetime) -> EventOutcome:
    """The office lets a held event in; where it still cannot be part of the record, it goes on waiting."""
    scene, outcome = _reopened(outcome, at)
    outcome.ruled_at, outcome.ruled_by, outcome.words = at, by, ""
    if scene.workshop.is_settled:
        raise ValidationError(_("The workshop is closed. Open it again, with a reason, to let this in."))
    _fold(scene, outcome)
    return EventOutcome.objects.with_events().get(pk=outcome.pk)


@transaction.atomic
def set_aside(*, outcome: EventOutcome, reason: str, by: StaffMember, at: datetime) -> EventOutcome:
    """The office looked at an event and leaves it out of the record, with the reason."""
    if not reason.strip():
        raise ValidationError({"reason": _("Say why it is set aside.")})
    _scene, outcome = _reopened(outcome, at)
    outcome.state, outcome.reason = State.SET_ASIDE, reason.strip()
    outcome.ruled_at, outcome.ruled_by = at, by
    outcome.full_clean(validate_unique=False)
    outcome.save()
    return outcome


@transaction.atomic
def correct(
    *, outcome: EventOutcome, corrections: dict[str, str], by: StaffMember, at: datetime
) -> EventOutcome:
    """Put right what could not be read of a walk-in, and let it in."""
    _scene, outcome = _reopened(outcome, at)
    outcome.corrections = {name: value for name, value in corrections.items() if value.strip()}
    outcome.save(update_fields=["corrections"])
    outcome = release(outcome=outcome, by=by, at=at)
    if outcome.state == State.HELD:
        raise ValidationError(outcome.words)
    return outcome


def _reopened(outcome: EventOutcome, at: datetime) -> tuple[Scene, EventOutcome]:
    scene = Scene.of(outcome.event.device, at)
    outcome = EventOutcome.objects.with_events().select_for_update(of=("self",)).get(pk=outcome.pk)
    if outcome.state not in (State.HELD, State.WAITING):
        raise ValidationError(
            _("Someone has ruled on this already: it is %(state)s.") % {"state": outcome.get_state_display()}
        )
    return scene, outcome


def _why_held(scene: Scene, event: DoorEvent) -> str:
    """Why the office has to look before it counts; '' where it need not."""
    device, workshop = event.device, scene.workshop
    if ended := device.why_ended(event.received_at):
        return ended
    if event.seq is None:
        return _("The device gave this number to something else as well, or gave it none.")
    if event.workshop_number != workshop.pk:
        return _("It is about another workshop than the one the device was let in to.")
    if workshop.is_settled:
        words = _("It came after the workshop was %(state)s.")
        return words % {"state": workshop.get_state_display()}
    return ""


def _fold(scene: Scene, outcome: EventOutcome) -> None:
    """Let it in; where that fails, nothing of it is written but why."""
    event = outcome.event
    try:
        with transaction.atomic(), audit.by(event.device.staff_member), audit.because(_at_the_door(event)):
            _refuse_before_the_day(scene)
            fact = reading.read(event, outcome.corrections)
            outcome.state, outcome.words = State.APPLIED, ""
            SETTLE[type(fact)](scene, outcome, fact)
    except NotThereYet as waiting:
        _waits(outcome, State.WAITING, str(waiting))
    except CannotRead as problem:
        _waits(outcome, State.HELD, str(problem))
    except ValidationError as problem:
        _waits(outcome, State.HELD, " ".join(problem.messages))
    except OperationalError:
        # The database is busy or gone: nothing is wrong with the event, which is applied at the next contact.
        raise
    except Exception:
        # Whatever is wrong with it, the others go on. The traceback is in the log.
        logger.exception("Event %s of the Door could not be applied.", event.pk)
        _waits(outcome, State.HELD, _("The server could not work this out. Its log says why."))
    else:
        _take_up_those_waiting(scene, event)


def _refuse_before_the_day(scene: Scene) -> None:
    if timezone.localdate(scene.at) < scene.workshop.held_on:
        day = date_format(scene.workshop.held_on, "j F Y")
        raise ValidationError(_("The workshop is on %(day)s; nobody can have come yet.") % {"day": day})


def _take_up_those_waiting(scene: Scene, event: DoorEvent) -> None:
    if event.kind != "walked_in" or event.person is None:
        return
    for waiting in EventOutcome.objects.at(scene.workshop).waiting_for(event.person).with_events().in_order():
        _fold(scene, waiting)


def _waits(outcome: EventOutcome, state: str, words: str) -> None:
    """Nothing of it is on record, so it speaks of no record."""
    outcome.participant = outcome.registration = outcome.handout = outcome.before = None
    outcome.beyond, outcome.filled = 0, []
    outcome.made_household = outcome.made_person = False
    outcome.state, outcome.words = state, words[:400]
    # What was written of it, if anything, was taken back with the savepoint.
    is_there = EventOutcome.objects.filter(pk=outcome.event_id).exists()
    outcome.save(force_insert=not is_there, force_update=is_there)


def _at_the_door(event: DoorEvent) -> str:
    return _("At the Door, by %(name)s") % {"name": event.by_name or event.device.by_name}
