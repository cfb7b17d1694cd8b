"""Whoever comes along unnamed is counted with the person they came with, however that person was noted."""

import datetime
import importlib

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError

from outreach.bins.models import Handout
from outreach.door import applying, closing, live, roster
from outreach.door.models import DoorTable, EventOutcome
from outreach.door.receiving import Delivery, receive
from outreach.intake.taking_in import take_in
from outreach.staff.roles import Role
from outreach.workshops import counting, registering, row_codes
from outreach.workshops.models import Booking, Registration, Workshop
from tests.factories.bins import make_bin_model, make_rule
from tests.factories.door import TEN, Phone, make_device, make_event, make_outcome, make_table
from tests.factories.households import make_household, make_participant
from tests.factories.paperwork import make_csv
from tests.factories.places import make_jurisdiction, make_served_place
from tests.factories.staff import make_member
from tests.factories.workshops import make_booking, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
AT = TEN + datetime.timedelta(hours=3)


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def workshop():
    here = make_jurisdiction(name="Quillby")
    make_served_place(jurisdiction=here, city_name="Quillby", zip_code="00071")
    make_rule()
    return make_workshop(jurisdiction=here, seats=30)


@pytest.fixture
def mesh(workshop):
    mesh = make_bin_model(name="Mesh bin", family="mesh")
    make_table(workshop, bins=10, bin_model=mesh)
    return mesh


@pytest.fixture
def crew():
    return make_member(role=Role.COORDINATOR)


@pytest.fixture
def ada(workshop, mesh):
    """Ada Holm signed up for four, and named herself alone."""
    home = make_household(jurisdiction=workshop.jurisdiction, street="5 Reed Street")
    lead = make_participant(household=home, full_name="Ada Holm")
    return make_booking(workshop=workshop, lead=lead, people_beyond=3).registrations.get()


@pytest.fixture
def phone(workshop):
    return Phone(make_device(workshop=workshop))


def at_the_desk(ada, crew, phone):
    registering.mark_attended(registration=Registration.objects.get(pk=ada.pk), at=AT, by=crew)


def on_paper(ada, crew, phone, *, people="", bin_taken=""):
    rows = [["Sign-in"], ["Code", "Name", "Address", "People", "Bin y/n"]]
    rows.append([row_codes.code_of(ada.pk), "Ada Holm", "", people, bin_taken])
    return take_in([("sheet.csv", make_csv(rows))], by=None, at=AT).counts


def at_the_door(ada, crew, phone, *, party=4):
    arrived = phone.arrived(ada.participant, party=party)
    receive(device=phone.device, delivery=Delivery(events=[arrived]), at=AT)
    return arrived


def figures(workshop):
    """What each place that counts people says: (in the room, named, not named)."""
    with_people = Workshop.objects.with_people().get(pk=workshop.pk)
    people = closing.people_of(with_people)
    counts = counting.counts_between(workshop.held_on, workshop.held_on)
    assert with_people.people_came == live.people_in(workshop) == people.came + people.unlisted
    assert (counts.attendances, counts.unlisted) == (people.came, people.unlisted)
    return with_people.people_came, people.came, people.unlisted


def test_before_anybody_came_the_whole_party_is_expected(ada, workshop, as_coordinator):
    shown = as_coordinator.get(f"/door/{workshop.pk}/live/").context

    assert (shown["people_in"], shown["expected"]) == (0, 4)
    assert Workshop.objects.with_people().get().people_on_list == 4
    assert closing.people_of(workshop).missed == 4


@pytest.mark.parametrize("noted", [at_the_desk, on_paper, at_the_door])
def test_however_a_person_is_noted_the_figures_are_the_same(
    ada, workshop, crew, phone, noted, as_coordinator
):
    noted(ada, crew, phone)

    assert figures(workshop) == (4, 1, 3)
    shown = as_coordinator.get(f"/door/{workshop.pk}/live/").context
    assert (shown["people_in"], shown["expected"]) == (4, 0)
    assert "and 3 more" in as_coordinator.get(f"/workshops/{workshop.pk}/").content.decode()
    assert [one["party"] for one in roster.of(phone.device)["people"]] == [4]


def test_what_a_sheet_says_of_the_number_goes_before_what_was_signed_up(ada, workshop, crew, phone):
    counts = on_paper(ada, crew, phone, people="2")

    assert (counts["attendances"], counts["came_along"]) == (1, 1)
    assert figures(workshop) == (2, 1, 1)


def test_a_number_that_cannot_be_read_waits_and_the_person_came(ada, workshop, crew, phone):
    counts = on_paper(ada, crew, phone, people="2 or 3")

    assert (counts["attendances"], counts["for_review"]) == (1, 1)
    assert figures(workshop) == (4, 1, 3)


@pytest.mark.parametrize("order", [(on_paper, at_the_door), (at_the_door, on_paper)])
def test_paper_and_a_device_in_either_order_are_one_set_of_facts(ada, workshop, crew, phone, mesh, order):
    """Noted on paper with a bin and a number, and by real events of a device with the same."""
    for noted in order:
        if noted is on_paper:
            on_paper(ada, crew, phone, people="3", bin_taken="y")
        else:
            at_the_door(ada, crew, phone, party=3)
            given = phone.bin_given({"participant": ada.participant_id}, mesh)
            receive(device=phone.device, delivery=Delivery(events=[given]), at=AT)

    assert figures(workshop) == (3, 1, 2)
    ada.refresh_from_db()
    assert ada.state == "attended"
    assert Registration.objects.count() == 1
    assert Handout.objects.standing().count() == 1
    assert not EventOutcome.objects.exclude(state__in=("applied", "known")).exists()


def test_where_the_sheet_says_another_number_the_door_stands_and_a_person_looks(ada, workshop, crew, phone):
    at_the_door(ada, crew, phone, party=3)

    counts = on_paper(ada, crew, phone, people="4")

    assert counts["for_review"] == 1
    assert figures(workshop) == (3, 1, 2)


def test_what_the_door_counted_after_paper_holds_until_it_is_undone(ada, workshop, crew, phone):
    on_paper(ada, crew, phone, people="2")
    arrived = at_the_door(ada, crew, phone, party=4)
    assert figures(workshop) == (4, 1, 3)

    receive(device=phone.device, delivery=Delivery(events=[phone.undone(arrived)]), at=AT)

    assert figures(workshop) == (2, 1, 1)


def test_undone_nobody_came(ada, workshop, crew, phone):
    at_the_desk(ada, crew, phone)
    registering.undo(registration=ada, at=AT, by=crew)
    assert figures(workshop) == (0, 0, 0)

    arrived = at_the_door(ada, crew, phone)
    receive(device=phone.device, delivery=Delivery(events=[phone.undone(arrived)]), at=AT)
    assert figures(workshop) == (0, 0, 0)
    assert Registration.objects.booked().people() == 4


def test_a_number_that_a_person_put_right_stays(ada, workshop, crew, phone):
    at_the_door(ada, crew, phone)
    registering.one_fewer(registration=ada, at=AT, by=crew)
    other = Phone(make_device(workshop=workshop))

    at_the_door(ada, crew, other, party=4)

    assert figures(workshop) == (3, 1, 2)


def test_one_more_or_fewer_is_one_button(ada, workshop, crew, phone, as_coordinator):
    as_coordinator.post(f"/workshops/registrations/{ada.pk}/attended/")
    as_coordinator.post(f"/workshops/registrations/{ada.pk}/one-more/")
    assert figures(workshop) == (5, 1, 4)
    for _number in range(6):
        as_coordinator.post(f"/workshops/registrations/{ada.pk}/one-fewer/")

    assert figures(workshop) == (1, 1, 0)


def test_who_did_not_come_brings_nobody(ada, crew):
    with pytest.raises(ValidationError, match="Say first that the person came"):
        registering.one_more(registration=ada, at=AT, by=crew)

    ada.came_with = 1
    with pytest.raises(ValidationError, match="Nobody comes along with a person who did not come"):
        ada.full_clean()


def test_a_party_is_at_most_a_hundred(ada):
    ada.state, ada.came_with = "attended", 100

    with pytest.raises(ValidationError, match="At most 99 people come along"):
        ada.full_clean()


def test_only_whoever_signed_them_up_brings_them(ada, workshop, crew, phone):
    named = make_participant(household=ada.household, full_name="Bo Holm")
    brought = Registration.objects.create(
        workshop=workshop,
        participant=named,
        household=ada.household,
        counted_under=ada.counted_under,
        booking=Booking.objects.get(),
        registered_at=AT,
    )

    at_the_desk(brought, crew, phone)

    assert figures(workshop) == (1, 1, 0)
    assert Registration.objects.booked().people() == 4


def test_a_crowd_that_was_counted_is_beside_the_parties(ada, workshop, crew, phone):
    at_the_door(ada, crew, phone)
    crowd = phone.event("headcount", people=20)
    receive(device=phone.device, delivery=Delivery(events=[crowd]), at=AT)

    assert figures(workshop) == (24, 1, 23)
    assert Workshop.objects.get().headcount_unlisted == DoorTable.objects.get().counted_unlisted == 20


def test_parties_of_earlier_records_move_beside_their_person_and_back(ada, workshop, phone):
    """As an earlier version kept them: with the crowd of 20 in the count of the room."""
    Registration.objects.update(state="attended", arrived_at=TEN)
    Workshop.objects.update(headcount_unlisted=23, state="held")
    DoorTable.objects.update(counted_unlisted=23)
    event = make_event(
        device=phone.device, kind="arrived", body={"participant": ada.participant_id, "party": 4}
    )
    make_outcome(event=event, registration=ada, participant=ada.participant, beyond=3)
    migration = importlib.import_module("outreach.door.migrations.0002_party_beside_its_person")

    migration.beside_the_person(apps, None)
    assert figures(workshop) == (24, 1, 23)
    assert Workshop.objects.get().headcount_unlisted == DoorTable.objects.get().counted_unlisted == 20

    migration.in_the_count(apps, None)
    assert Workshop.objects.get().headcount_unlisted == DoorTable.objects.get().counted_unlisted == 23
    assert Registration.objects.get().came_with == 0


def test_what_was_left_over_counts_the_party_as_well(ada, workshop, crew, phone):
    """Stored right before the server stopped, applied at the next contact."""
    number = phone.arrived(ada.participant, party=2)
    make_event(device=phone.device, id=number["id"], kind="arrived", body=number["body"])

    applying.apply_left_over(workshop=workshop, at=AT)

    assert figures(workshop) == (2, 1, 1)
