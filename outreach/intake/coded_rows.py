"""Rows of a printed sign-in sheet: their code names a place on a workshop's list, and so who it was and where.

The code of a blank line names the workshop, and once somebody is on record with it, that person.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Self

from django.utils.translation import gettext as _

from outreach.bins.chunks import in_chunks
from outreach.intake.results import RowResult
from outreach.intake.sign_in_sheets import SignIn, missing
from outreach.workshops.models import Registration, Workshop
from outreach.workshops.row_codes import Line

Stated = tuple[RowResult, SignIn]


def by_their_codes(stated: Iterable[Stated]) -> Iterator[tuple[RowResult, SignIn, Registration | None]]:
    """Each row with the place that its code names; a code that does not fit the row goes to review.

    A row that needs its code to be understood, and has none that fits, is not read.
    """
    rows = list(stated)
    coded = _Coded.of([fact for _row, fact in rows])
    for row, fact in rows:
        place = coded.place(fact)
        if problem := coded.why_not(fact, place):
            row.doubt(problem)
            place = None
        workshop = place.workshop if place is not None else coded.workshop(fact)
        told = _told_by(fact, workshop) if workshop is not None else fact
        if place is not None:
            yield row, told, place
        elif lacks := missing(told.held_on, told.venue, told.person):
            row.not_read(lacks)
        else:
            yield row, told, None


@dataclass(frozen=True, slots=True)
class _Coded:
    """What the codes of some rows name."""

    places: dict[int, Registration]
    lines: dict[Line, Registration]
    workshops: dict[int, Workshop]

    @classmethod
    def of(cls, facts: Iterable[SignIn]) -> Self:
        with_workshops = Registration.objects.select_related(
            "participant", "household", "workshop__venue__jurisdiction"
        )
        facts = list(facts)
        places: dict[int, Registration] = {}
        for numbers in in_chunks(sorted({fact.code for fact in facts if fact.code is not None})):
            places |= with_workshops.in_bulk(list(numbers))
        ids = sorted({fact.line.workshop for fact in facts if fact.line is not None})
        written = with_workshops.at_any_of(ids).on_a_line() if ids else ()
        lines = {Line(one.workshop_id, one.sheet_line or 0): one for one in written}
        return cls(places, lines, Workshop.objects.with_names().in_bulk(ids) if ids else {})

    def place(self, fact: SignIn) -> Registration | None:
        if fact.line is not None:
            return self.lines.get(fact.line)
        return self.places.get(fact.code) if fact.code is not None else None

    def workshop(self, fact: SignIn) -> Workshop | None:
        """The one whose sheet the blank line is on, where that fits the row."""
        found = self.workshops.get(fact.line.workshop) if fact.line is not None else None
        return found if found is not None and fact.held_on in (None, found.held_on) else None

    def why_not(self, fact: SignIn, place: Registration | None) -> str:
        """Why the code cannot be believed; '' where it can, or where there is none."""
        if fact.code is None and fact.line is None:
            return ""
        workshop = (
            place.workshop
            if place is not None
            else self.workshops.get(fact.line.workshop if fact.line else 0)
        )
        if workshop is None:
            return _("Code: no place on a list has it. Correct it, or leave it out.")
        if fact.held_on and fact.held_on != workshop.held_on:
            return _("Code: it belongs to the workshop of %(day)s. Correct the code or the date.") % {
                "day": workshop.held_on
            }
        if place is not None and _is_of_another(fact, place):
            return _(
                "Code: it belongs to another name, so the name was believed. Correct the one or the other."
            )
        return ""


def _is_of_another(fact: SignIn, place: Registration) -> bool:
    """The row names somebody else; on a blank line the same address under another spelling is the same person."""
    if not fact.person.name_key or fact.person.name_key == place.participant.name_key:
        return False
    return fact.line is None or fact.address.street_key != place.household.street_key


def _told_by(fact: SignIn, workshop: Workshop) -> SignIn:
    return replace(
        fact,
        held_on=workshop.held_on,
        venue=workshop.venue.name,
        city=workshop.venue.jurisdiction.name,
        workshop_id=workshop.pk,
    )
