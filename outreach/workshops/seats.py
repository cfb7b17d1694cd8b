"""Places at a workshop: who holds one, who stands by, and who moves up when one comes free.

All of it is called with the workshop locked.
"""

from django.db.models import F, Max

from outreach.workshops.models import Registration, Workshop


def locked(workshop: Workshop) -> Workshop:
    """The workshop as it is now, held against everyone else until the transaction ends."""
    return Workshop.objects.select_for_update().get(pk=workshop.pk)


def count(workshop: Workshop) -> None:
    """Write down how many seats are taken; the database refuses more than there are."""
    workshop.booked_people = taken(workshop)
    workshop.full_clean()
    workshop.save(update_fields=["booked_people"])


def taken(workshop: Workshop) -> int:
    """Seats of people who hold a place, of those they bring along, and those that are offered."""
    return Workshop.objects.with_seated().values_list("seated", flat=True).get(pk=workshop.pk)


def is_free(workshop: Workshop) -> bool:
    """A place is left, and nobody waits for it."""
    waiting = Registration.objects.at(workshop).on_standby().exists()
    return workshop.booked_people < workshop.seats and not waiting


def next_standby_place(workshop: Workshop) -> int:
    last = Registration.objects.at(workshop).on_standby().aggregate(last=Max("standby_place"))["last"]
    return (last or 0) + 1


def move_up(workshop: Workshop) -> list[Registration]:
    """Give free places to whoever has stood by longest; only while the workshop is still to come."""
    if workshop.state != Workshop.State.PLANNED:
        return []
    free = workshop.seats - workshop.booked_people
    moved = list(Registration.objects.at(workshop).on_standby()[: max(free, 0)])
    for registration in moved:
        registration.state, registration.standby_place = Registration.State.BOOKED, None
        registration.full_clean()
        registration.save(update_fields=["state", "standby_place"])
    if moved:
        count(workshop)
    return moved


def differing() -> list[str]:
    """Workshops whose number of people booked is not what their lists give."""
    return [
        f"Workshop {pk} says {said} people hold a place; its list gives {counted}."
        for pk, said, counted in Workshop.objects.order_by("pk")
        .with_seated()
        .exclude(booked_people=F("seated"))  # type: ignore[misc]
        .values_list("pk", "booked_people", "seated")
    ]


def rebuild_all() -> None:
    """Count every workshop's people again."""
    Workshop.objects.recount()
