"""Sign-in sheets: many attendances at once, none of them twice."""

import datetime

import pytest

from outreach.workshops import seats
from outreach.workshops.attendance import AttendanceRow, WorkshopWasCancelled, record_attendances
from outreach.workshops.models import Registration, Workshop
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = datetime.datetime(2025, 6, 1, tzinfo=datetime.UTC)


def _row(workshop, person=None, **differences):
    return AttendanceRow(workshop=workshop, participant=person or make_participant(), **differences)


def _record(rows):
    return record_attendances(rows, by=None, at=AT)


def test_the_booked_have_attended_and_others_walked_in():
    workshop = make_workshop()
    booked = make_registration(workshop=workshop)

    results = _record([_row(workshop, booked.participant, waiver_initials="AB"), _row(workshop)])

    assert [one.registration.state for one in results] == ["attended", "walk_in"]
    assert [one.was_known for one in results] == [False, False]
    assert Registration.objects.get(pk=booked.pk).waiver_initials == "AB"
    workshop = Workshop.objects.get(pk=workshop.pk)
    assert (workshop.state, workshop.booked_people) == ("held", 2)


def test_nothing_is_doubled_when_the_sheet_comes_again_or_names_someone_twice():
    workshop = make_workshop()
    row = _row(workshop)

    first = _record([row, row])
    second = _record([row])

    assert [one.was_known for one in first + second] == [False, True, True]
    assert len({one.registration.pk for one in first + second}) == 1
    assert Registration.objects.count() == 1


def test_each_result_has_the_number_of_its_own_row():
    workshops = [make_workshop(), make_workshop()]
    rows = [_row(workshops[number % 2]) for number in range(6)]

    results = _record(rows)

    for row, result in zip(rows, results, strict=True):
        stored = Registration.objects.get(pk=result.registration.pk)
        assert (stored.workshop, stored.participant) == (row.workshop, row.participant)


def test_rows_count_under_the_root_of_merges():
    root = make_household()
    middle = make_household(merged_into=root)
    leaf = make_household(merged_into=middle)

    result = _record([_row(make_workshop(), make_participant(household=leaf))])[0]

    assert result.registration.household_id == leaf.pk
    assert result.registration.counted_under_id == root.pk


def test_a_cancelled_workshop_takes_no_sheet_and_nothing_is_written():
    held, cancelled = make_workshop(), make_workshop(state="cancelled", state_reason="Storm.")

    with pytest.raises(WorkshopWasCancelled, match="Open it again on its page"):
        _record([_row(held), _row(cancelled)])

    assert not Registration.objects.exists()


def test_the_number_of_statements_does_not_grow_with_the_rows(django_assert_max_num_queries):
    workshop = make_workshop()
    rows = [_row(workshop) for _number in range(40)]

    with django_assert_max_num_queries(10):
        _record(rows)


def test_no_rows_are_no_work():
    assert _record([]) == []


def test_a_wrong_number_of_people_booked_is_found_and_mended():
    workshop = make_workshop(booked_people=7)
    make_registration(workshop=workshop)

    assert seats.differing() == [f"Workshop {workshop.pk} says 7 people hold a place; its list gives 1."]
    seats.rebuild_all()
    assert seats.differing() == []
