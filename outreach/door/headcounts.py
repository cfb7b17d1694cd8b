"""How many people a device counted who are on no list and came with nobody of it."""

from django.db.models import Sum

from outreach.door.models import EventOutcome
from outreach.door.reading import Headcount
from outreach.door.scenes import Scene, keep, split, write

State = EventOutcome.State
KIND = "headcount"


def settle(scene: Scene, outcome: EventOutcome, fact: Headcount) -> None:
    outcome.beyond = fact.people
    keep(outcome)
    refold(scene, outcome)


def refold(scene: Scene, outcome: EventOutcome) -> None:
    """Say whether a count stands, and add up again."""
    standing, undone = split(scene, [outcome])
    write(standing, state=State.APPLIED)
    write(undone, state=State.UNDONE, beyond=0)
    fold(scene)


def fold(scene: Scene) -> None:
    """Add up what the Door counted. A number that a person wrote on the workshop's page stands."""
    here = EventOutcome.objects.at(scene.workshop).of_kinds(KIND).that_count()
    counted = here.aggregate(people=Sum("beyond"))["people"] or 0
    table, workshop = scene.table, scene.workshop
    if counted == table.counted_unlisted:
        return
    workshop.refresh_from_db(fields=["headcount_unlisted"])
    if workshop.headcount_unlisted == table.counted_unlisted:
        workshop.headcount_unlisted = counted
        workshop.full_clean()
        workshop.save(update_fields=["headcount_unlisted"])
    table.counted_unlisted = counted
    table.save(update_fields=["counted_unlisted"])
