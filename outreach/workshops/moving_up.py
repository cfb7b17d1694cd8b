"""Who is next when a place comes free."""

from datetime import datetime

from outreach.workshops import offering, parties, seats
from outreach.workshops.models import Workshop
from outreach.workshops.parties import Party


def move_up(workshop: Workshop, at: datetime) -> list[Party]:
    """Let whoever has stood by longest have the free places, while the workshop is still to come.

    Who can be asked is offered them and answers; who cannot is booked. A party larger than what is free
    keeps its place in line and the next is asked. The workshop is locked.
    """
    if workshop.state != Workshop.State.PLANNED:
        return []
    moved = []
    for party in parties.waiting(workshop):
        if party.places > workshop.seats - workshop.booked_people or not _move(workshop, party, at):
            continue
        seats.count(workshop)
        moved.append(party)
    for party in moved:
        seats.announce(party, at)
    return moved


def _move(workshop: Workshop, party: Party, at: datetime) -> bool:
    if party.can_answer:
        return offering.offer(workshop=workshop, party=party, at=at) is not None
    seats.give(party, at)
    return True
