"""Undoing at the Door is an event of its own; what it undoes may have arrived before it or arrives later."""

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.door import arrivals, bins_given, headcounts, waivers
from outreach.door.models import DoorEvent, EventOutcome
from outreach.door.models.events import ARRIVALS
from outreach.door.reading import Undone
from outreach.door.scenes import Scene, keep

State = EventOutcome.State


def settle(scene: Scene, outcome: EventOutcome, fact: Undone) -> None:
    keep(outcome)
    undone = DoorEvent.objects.filter(pk=fact.event).select_related("device").first()
    if undone is None or undone.kind == "undone":
        # Still to come; or an undo, which cannot be undone: what it took back is done again instead.
        return
    if undone.device.workshop_id != scene.workshop.pk:
        raise ValidationError(_("What it undoes happened at another workshop."))
    told = EventOutcome.objects.with_events().filter(pk=undone.pk, state__in=EventOutcome.READ).first()
    if told is None:
        return
    if not outcome.is_released and bins_given.is_ruled(told):
        raise ValidationError(
            _(
                "The office has given the reason for this bin since. Release this to take the bin back all the same."
            )
        )
    refold(scene, told)


def refold(scene: Scene, told: EventOutcome) -> None:
    """Fold again what an event is about."""
    kind = told.event.kind
    if kind == headcounts.KIND:
        headcounts.refold(scene, told)
    elif told.participant is not None and kind in ARRIVALS:
        arrivals.fold(scene, told.participant)
    elif told.participant is not None and kind == waivers.KIND:
        waivers.fold(scene, told.participant)
    elif told.participant is not None and kind == bins_given.KIND:
        bins_given.fold(scene, told.participant.household)
