"""Rows of a printed sign-in sheet: their code names a place on a workshop's list, and so who it was and where."""

from collections.abc import Iterable, Iterator
from dataclasses import replace

from django.utils.translation import gettext as _

from outreach.bins.chunks import in_chunks
from outreach.intake.results import RowResult
from outreach.intake.sign_in_sheets import SignIn, missing
from outreach.workshops.models import Registration

Stated = tuple[RowResult, SignIn]


def by_their_codes(stated: Iterable[Stated]) -> Iterator[tuple[RowResult, SignIn, Registration | None]]:
    """Each row with the place that its code names; a code that does not fit the row goes to review.

    A row that needs its code to be understood, and has none that fits, is not read.
    """
    rows = list(stated)
    places = _places_of({fact.code for _row, fact in rows if fact.code is not None})
    for row, fact in rows:
        place = places.get(fact.code) if fact.code is not None else None
        if fact.code is not None and (problem := _why_not(fact, place)):
            row.doubt(problem)
            place = None
        if place is not None:
            yield row, _told_by(fact, place), place
        elif fact.code is not None and (lacks := missing(fact.held_on, fact.venue, fact.person)):
            row.not_read(lacks)
        else:
            yield row, fact, None


def _places_of(codes: set[int]) -> dict[int, Registration]:
    with_workshops = Registration.objects.select_related("participant", "workshop__venue__jurisdiction")
    found: dict[int, Registration] = {}
    for numbers in in_chunks(sorted(codes)):
        found |= with_workshops.in_bulk(list(numbers))
    return found


def _why_not(fact: SignIn, place: Registration | None) -> str:
    """Why the code cannot be believed; '' where it can."""
    if place is None:
        return _("Code: no place on a list has it. Correct it, or leave it out.")
    if fact.held_on and fact.held_on != place.workshop.held_on:
        return _("Code: it belongs to the workshop of %(day)s. Correct the code or the date.") % {
            "day": place.workshop.held_on
        }
    if fact.person.name_key and fact.person.name_key != place.participant.name_key:
        return _("Code: it belongs to another name, so the name was believed. Correct the one or the other.")
    return ""


def _told_by(fact: SignIn, place: Registration) -> SignIn:
    workshop = place.workshop
    return replace(
        fact,
        held_on=workshop.held_on,
        venue=workshop.venue.name,
        city=workshop.venue.jurisdiction.name,
        workshop_id=workshop.pk,
    )
