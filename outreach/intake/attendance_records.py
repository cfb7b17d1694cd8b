"""Rows of sign-in sheets → households, people, attendances, and the bins that went home."""

from django.utils.translation import gettext as _

from outreach.bins.chunks import in_chunks
from outreach.households.knowing import KnownHouseholds
from outreach.households.recording import PersonFacts
from outreach.intake.handout_records import BinsGone, write_handouts
from outreach.intake.models import IntakeMade
from outreach.intake.people_records import PeopleAtHand
from outreach.intake.preparing import Lists
from outreach.intake.results import Batch, Outcome, RowResult
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.workshop_records import WorkshopsByOccasion
from outreach.workshops.attendance import AttendanceRow, RecordedAttendance, record_attendances
from outreach.workshops.models import Workshop

Placed = tuple[RowResult, SignIn, Workshop, int, int]


def write_sign_ins(batch: Batch, lists: Lists, known: KnownHouseholds) -> None:
    """Record everyone who came and what they took home; what is on record already adds nothing."""
    stated = batch.stating(SignIn)
    if not stated:
        return
    people = PeopleAtHand(batch, known)
    placed = _placed(batch, stated, lists, people)
    people.write({number for *_rest, number, _person in placed}, {person for *_rest, person in placed})
    rows = [
        AttendanceRow(
            workshop=workshop,
            participant=people.people[person],
            waiver_initials=fact.initials,
            note=fact.note,
        )
        for _row, fact, workshop, _household, person in placed
    ]
    recorded = record_attendances(rows, by=batch.by, at=batch.at)
    earlier = _from_earlier_paper(recorded)
    gone = []
    for (row, fact, workshop, household, person), attendance in zip(placed, recorded, strict=True):
        _note_attendance(batch, row, attendance, earlier)
        bins = BinsGone(
            row=row,
            fact=fact,
            workshop=workshop,
            household=people.households[household],
            participant=people.people[person],
            came_before=attendance.was_known,
        )
        gone.append(bins)
    write_handouts(batch, gone, lists.bins)


def _placed(
    batch: Batch, stated: list[tuple[RowResult, SignIn]], lists: Lists, people: PeopleAtHand
) -> list[Placed]:
    """Each row with its workshop, household and person; those without one go to review."""
    workshops = WorkshopsByOccasion(batch, lists.places)
    workshops.expect(stated)
    placed = []
    for row, fact in stated:
        workshop = workshops.of(row, fact)
        if workshop is None:
            continue
        if fact.held_on > batch.at.date():
            row.doubt(_("Date: the workshop is in the future. Correct it if that is a slip."))
        facts = PersonFacts(name=fact.person, email=fact.email, phone=fact.phone)
        household = people.household(row, fact.address, fact.place, facts, fact.held_on)
        if household is not None:
            placed.append(
                (row, fact, workshop, household, people.person(row, household, facts, fact.held_on))
            )
    return placed


def _from_earlier_paper(recorded: list[RecordedAttendance]) -> set[int]:
    """Places on a list that another row made: whoever has now come keeps that provenance."""
    arrived = sorted({one.registration.pk for one in recorded if not one.was_known})
    found: set[int] = set()
    for ids in in_chunks(arrived):
        made = IntakeMade.objects.filter(registration__in=ids)
        found |= set(made.values_list("registration_id", flat=True))
    return found


def _note_attendance(batch: Batch, row: RowResult, attendance: RecordedAttendance, earlier: set[int]) -> None:
    """One attendance a person: of two rows of one file the first made it."""
    if attendance.was_known:
        row.known()
        return
    if attendance.registration.pk in earlier:
        row.outcome = Outcome.MADE
    else:
        row.add(attendance.registration)
    batch.counts["attendances"] += 1
    batch.counts["outside_area"] += attendance.registration.is_outside_area
