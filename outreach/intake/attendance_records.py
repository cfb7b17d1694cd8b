"""Rows of sign-in sheets → households, people, attendances, and the bins that went home."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from outreach.bins.chunks import in_chunks
from outreach.households.recording import PersonFacts
from outreach.intake.bin_names import BinNames
from outreach.intake.coded_rows import by_their_codes
from outreach.intake.handout_records import BinsGone, write_handouts
from outreach.intake.models import IntakeMade
from outreach.intake.people_records import PeopleAtHand
from outreach.intake.preparing import Lists
from outreach.intake.results import Batch, Outcome, RowResult
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.workshop_records import WorkshopsByOccasion
from outreach.workshops.attendance import AttendanceRow, RecordedAttendance, record_attendances
from outreach.workshops.models import Registration


@dataclass(frozen=True, slots=True, kw_only=True)
class Placed:
    """A row with the numbers of its household and person."""

    row: RowResult
    fact: SignIn
    household: int
    person: int


@dataclass(frozen=True, slots=True)
class PlannedSignIns:
    """Who came where, found before the transaction that records it."""

    placed: list[Placed]
    workshops: WorkshopsByOccasion


def plan_sign_ins(batch: Batch, lists: Lists, people: PeopleAtHand) -> PlannedSignIns:
    """Find each row's household and person; those without one go to review. Writes nothing."""
    stated = list(by_their_codes(batch.stating(SignIn)))
    workshops = WorkshopsByOccasion(batch, lists.places)
    workshops.expect((row, fact) for row, fact, _place in stated)
    placed = []
    for row, fact, place in stated:
        if not workshops.can_tell(row, fact):
            continue
        if fact.day > batch.at.date():
            row.doubt(_("Date: the workshop is in the future. Correct it if that is a slip."))
        found = _of_the_list(place) if place else _of_the_row(row, fact, people)
        if found is not None:
            household, person = found
            placed.append(Placed(row=row, fact=fact, household=household, person=person))
    return PlannedSignIns(placed, workshops)


def _of_the_list(place: Registration) -> tuple[int, int]:
    return place.counted_under_id, place.participant_id


def _of_the_row(row: RowResult, fact: SignIn, people: PeopleAtHand) -> tuple[int, int] | None:
    """The household and the person that the row's own words name; none where it goes to review."""
    facts = PersonFacts(name=fact.person, email=fact.email, phone=fact.phone)
    household = people.household(row, fact.address, fact.place, facts, fact.day)
    return None if household is None else (household, people.person(row, household, facts, fact.day))


def write_sign_ins(batch: Batch, planned: PlannedSignIns, people: PeopleAtHand, names: BinNames) -> None:
    """Record everyone who came and what they took home; what is on record already adds nothing."""
    workshops = [planned.workshops.of(one.row, one.fact) for one in planned.placed]
    people.note_composting((one.household, one.fact.composting_before) for one in planned.placed)
    rows = [
        AttendanceRow(
            workshop=workshop,
            participant=people.people[one.person],
            people=one.fact.people,
            sheet_line=one.fact.line.number if one.fact.line else None,
            waiver_initials=one.fact.initials,
            note=one.fact.note,
        )
        for one, workshop in zip(planned.placed, workshops, strict=True)
    ]
    recorded = record_attendances(rows, by=batch.by, at=batch.at) if rows else []
    earlier = _from_earlier_paper(recorded)
    gone = []
    for one, workshop, attendance in zip(planned.placed, workshops, recorded, strict=True):
        _note_attendance(batch, one.row, attendance, earlier)
        _compare_people(one, attendance)
        bins = BinsGone(
            row=one.row,
            fact=one.fact,
            workshop=workshop,
            household=people.households[one.household],
            participant=people.people[one.person],
            came_before=attendance.was_known,
        )
        gone.append(bins)
    write_handouts(batch, gone, names)


def _compare_people(one: Placed, attendance: RecordedAttendance) -> None:
    """What was counted at the Door or the desk stands; a person looks where the sheet says another number."""
    on_record, said = attendance.registration.people, one.fact.people
    if attendance.was_known and said is not None and said != on_record:
        words = _("People: the sheet says %(said)d, the record %(known)d. Correct the one that is wrong.")
        one.row.doubt(words % {"said": said, "known": on_record})


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
    batch.counts["came_along"] += attendance.registration.came_with
    batch.counts["outside_area"] += attendance.registration.is_outside_area
