"""What the events of several devices come to, whichever is heard first; and what a person ruled stands."""

import datetime
import itertools
import uuid

import pytest

from outreach.bins import excepting, handing_out
from outreach.bins.models import Handout, Promise, RuleException, StockBalance
from outreach.door import applying, reading
from outreach.door.models import DoorTable, EventOutcome
from outreach.door.receiving import Delivery, receive
from outreach.households.models import Household, Participant
from outreach.staff.roles import Role
from outreach.workshops import holding
from outreach.workshops.models import Registration, WaiverAcceptance
from tests.factories.bins import make_bin_model, make_handout, make_rule
from tests.factories.door import TEN, Phone, make_device, make_table
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction, make_served_place
from tests.factories.staff import make_member
from tests.factories.workshops import make_registration, make_waiver_text, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = TEN + datetime.timedelta(hours=3)


def minutes(number: int) -> datetime.datetime:
    return TEN + datetime.timedelta(minutes=number)


@pytest.fixture
def workshop():
    here = make_jurisdiction(name="Quillby")
    make_served_place(jurisdiction=here, city_name="Quillby", zip_code="00071")
    make_rule()
    return make_workshop(jurisdiction=here, seats=30)


@pytest.fixture
def mesh(workshop):
    mesh = make_bin_model()
    make_table(workshop, bins=10, bin_model=mesh)
    return mesh


@pytest.fixture
def tablets(workshop):
    return [Phone(make_device(workshop=workshop)), Phone(make_device(workshop=workshop))]


def send(phone, *events, at=AT):
    receive(device=phone.device, delivery=Delivery(events=events), at=at)
    return [EventOutcome.objects.get(pk=event["id"]) for event in events]


def on_the_list(workshop, **place):
    person = make_participant(household=make_household(jurisdiction=workshop.jurisdiction))
    return make_registration(workshop=workshop, participant=person, **place)


@pytest.mark.parametrize("first_heard", [0, 1])
def test_of_two_tablets_the_bin_that_went_out_first_holds_the_place(workshop, mesh, tablets, first_heard):
    who = {"participant": on_the_list(workshop).participant_id}
    given = [tablets[0].bin_given(who, mesh, at=minutes(1)), tablets[1].bin_given(who, mesh, at=minutes(2))]

    for number in (first_heard, 1 - first_heard):
        send(tablets[number], given[number])

    early, late = (Handout.objects.get(event_id=event["body"]["handout"]) for event in given)
    assert (early.slot, late.slot) == (1, None)
    assert late.exception.kind == "second_bin"
    assert not late.exception.reason
    assert StockBalance.objects.get().on_hand == 8


def test_the_clock_of_a_device_is_corrected_by_what_it_was_off(workshop, mesh, tablets):
    who = {"participant": on_the_list(workshop).participant_id}
    slow = tablets[0].bin_given(who, mesh, at=minutes(1)) | {"offset_ms": 10 * 60_000}
    right = tablets[1].bin_given(who, mesh, at=minutes(5))

    send(tablets[0], slow)
    send(tablets[1], right)

    assert Handout.objects.get(slot=1).event_id == uuid.UUID(right["body"]["handout"])


def test_once_a_person_has_ruled_later_arrivals_do_not_reopen_it(workshop, mesh, tablets, coordinator):
    who = {"participant": on_the_list(workshop).participant_id}
    given = [tablets[0].bin_given(who, mesh, at=minutes(n)) for n in (10, 20)]
    send(tablets[0], *given)
    excepting.give_reason(exception=RuleException.objects.get(), reason="twins", by=coordinator, at=AT)

    (undo,) = send(tablets[0], tablets[0].undone(given[1]))
    send(tablets[1], tablets[1].bin_given(who, mesh, at=minutes(5)))

    ruled = Handout.objects.get(event_id=given[1]["body"]["handout"])
    assert (ruled.slot, ruled.exception.reason, ruled.voided_at) == (None, "twins", None)
    assert undo.state == "held"
    assert "the reason for this bin" in undo.words

    applying.release(outcome=undo, by=coordinator, at=AT)

    ruled.refresh_from_db()
    assert ruled.voided_at is not None


def test_a_handout_that_the_office_voided_is_not_made_again(workshop, mesh, tablets, coordinator):
    who = {"participant": on_the_list(workshop).participant_id}
    send(tablets[0], tablets[0].bin_given(who, mesh))
    handing_out.void(handout=Handout.objects.get(), reason="never happened", by=coordinator, at=AT)

    send(tablets[0], tablets[0].arrived(Participant.objects.get()))
    send(tablets[1], tablets[1].bin_given(who, mesh))

    assert Handout.objects.standing().count() == 1
    assert Handout.objects.count() == 2


@pytest.mark.parametrize("order", list(itertools.permutations(range(3))))
def test_an_undo_works_before_and_after_what_it_undoes(workshop, mesh, tablets, order):
    registration = on_the_list(workshop, state="standby", standby_place=4)
    arrived = tablets[0].arrived(registration.participant, party=3)
    given = tablets[0].bin_given({"participant": registration.participant_id}, mesh)
    events = [arrived, given]
    undos = [tablets[0].undone(arrived), tablets[0].undone(given)]

    for number in order:
        send(tablets[0], [*events, undos][number]) if number < 2 else send(tablets[0], *undos)

    registration.refresh_from_db()
    workshop.refresh_from_db()
    assert (registration.state, registration.standby_place, registration.arrived_at) == ("standby", 4, None)
    assert workshop.headcount_unlisted == 0
    assert not Handout.objects.standing().exists()
    assert StockBalance.objects.get().on_hand == 10
    assert EventOutcome.objects.filter(event__in=[arrived["id"], given["id"]], state="undone").count() == 2


def test_two_devices_that_take_down_one_person_make_one(workshop, mesh, tablets):
    where = {"city": "Quillby", "zip": "00071"}
    one = tablets[0].walked_in("Ada Lindqvist", "12 Reed Street", **where, at=minutes(2))
    other = tablets[1].walked_in(
        "LINDQVIST, ADA", "12 reed st.", **where, email="ada@example.org", at=minutes(1)
    )

    send(tablets[0], one, tablets[0].bin_given({"person": one["body"]["person"]}, mesh))
    send(tablets[1], other, tablets[1].bin_given({"person": other["body"]["person"]}, mesh, at=minutes(9)))

    person = Participant.objects.get()
    assert (person.full_name, person.email) == ("Ada Lindqvist", "ada@example.org")
    assert Registration.objects.get().arrived_at == minutes(1)
    assert Household.objects.get().jurisdiction == workshop.jurisdiction
    assert sorted(Handout.objects.values_list("slot", flat=True), key=str) == [1, None]


def test_a_walk_in_who_is_on_record_is_that_person(workshop, mesh, tablets):
    walk_in = tablets[0].walked_in("Ada Lindqvist", "12 Reed Street", city="Quillby", zip="00071")
    send(tablets[0], walk_in)

    again = tablets[1].walked_in("Ada Lindqvist", "12 Reed St", city="", zip="")
    elsewhere = make_workshop(jurisdiction=workshop.jurisdiction, held_on=workshop.held_on)
    make_table(elsewhere, bins=0)
    other = Phone(make_device(workshop=elsewhere))
    send(other, again | {"workshop": elsewhere.pk})

    assert Participant.objects.count() == Household.objects.count() == 1
    assert Registration.objects.count() == 2


def test_what_is_about_a_walk_in_waits_until_the_walk_in_is_there(workshop, mesh, tablets, coordinator):
    walk_in = tablets[0].walked_in("Ada Lindqvist", "Reed Street")
    given = tablets[0].bin_given({"person": walk_in["body"]["person"]}, mesh)

    before = [outcome.state for outcome in send(tablets[0], given, walk_in)]
    held = EventOutcome.objects.get(pk=walk_in["id"])
    corrections = {"street": "12 Reed Street", "city": "Quillby", "zip": "00071"}
    applying.correct(outcome=held, corrections=corrections, by=coordinator, at=AT)

    assert before == ["waiting", "held"]
    assert "house number" in held.words
    assert set(EventOutcome.objects.values_list("state", flat=True)) == {"applied"}
    assert Handout.objects.get().household.street == "12 Reed St"


def test_paper_and_tablet_are_one_set_of_facts(workshop, mesh, tablets):
    registration = on_the_list(workshop, state="attended")
    paper = make_handout(household=registration.household, bin_model=mesh, workshop=workshop)

    arrived = tablets[0].arrived(registration.participant)
    given = tablets[0].bin_given(
        {"participant": registration.participant_id}, mesh, copay={"how": "cash", "cents": 900}
    )
    outcomes = send(tablets[0], arrived, given)

    assert [outcome.state for outcome in outcomes] == ["known", "known"]
    assert outcomes[1].handout == paper
    assert Handout.objects.count() == 1
    assert StockBalance.objects.get().on_hand == 10


def test_whoever_may_except_gives_the_reason_at_the_table(workshop, mesh):
    registration = on_the_list(workshop)
    make_handout(household=registration.household, bin_model=mesh, handed_on=datetime.date(2024, 5, 9))
    who = {"participant": registration.participant_id}
    for may_except in (False, True):
        phone = Phone(make_device(workshop=workshop, may_except=may_except))
        send(phone, phone.bin_given(who, mesh, exception={"reason": "a big garden"}))

    reasons = sorted(RuleException.objects.values_list("reason", flat=True))
    assert reasons[0] == ""
    assert reasons[1].startswith("a big garden (Crew")


def test_the_bin_that_was_kept_is_the_one_that_went_home(workshop, mesh, tablets):
    registration = on_the_list(workshop)
    home = registration.household
    kept = Promise.objects.create(household=home, counted_under=home, workshop=workshop, made_at=TEN)
    given = tablets[0].bin_given({"participant": registration.participant_id}, mesh)

    send(tablets[0], given)
    kept.refresh_from_db()
    assert (kept.state, kept.handout) == ("fulfilled", Handout.objects.get())

    send(tablets[0], tablets[0].undone(given))
    kept.refresh_from_db()
    assert (kept.state, kept.handout) == ("kept", None)


def test_the_earliest_waiver_is_kept_with_its_version_name_and_time(workshop, mesh, tablets):
    make_waiver_text(), make_waiver_text(language="es")
    registration = on_the_list(workshop)
    said = {"participant": registration.participant_id, "version": 1}
    late = tablets[0].event("waiver_accepted", **said, language="en", typed_name="Ada L", at=minutes(5))
    early = tablets[1].event("waiver_accepted", **said, language="es", typed_name="Ada Lind", at=minutes(1))

    send(tablets[0], late)
    send(tablets[1], early)

    kept = WaiverAcceptance.objects.get()
    assert (kept.typed_name, kept.text.language, kept.accepted_at) == ("Ada Lind", "es", minutes(1))
    assert (kept.registration, kept.taken_by) == (registration, tablets[1].device.by_name)

    send(tablets[1], tablets[1].undone(early))
    assert WaiverAcceptance.objects.get().typed_name == "Ada L"


def test_a_waiver_of_a_version_that_nobody_wrote_waits(workshop, mesh, tablets):
    who = {"participant": on_the_list(workshop).participant_id}

    (outcome,) = send(
        tablets[0], tablets[0].event("waiver_accepted", **who, version=7, language="en", typed_name="Ada")
    )

    assert (outcome.state, WaiverAcceptance.objects.count()) == ("held", 0)
    assert "version 7" in outcome.words


def test_a_number_that_a_person_wrote_stands_beside_what_the_door_counts(
    workshop, mesh, tablets, coordinator
):
    send(tablets[0], tablets[0].event("headcount", people=5))
    holding.count_unlisted(workshop=workshop, people=8, by=coordinator, at=AT)

    send(tablets[1], tablets[1].event("headcount", people=2))

    workshop.refresh_from_db()
    assert (workshop.headcount_unlisted, DoorTable.objects.get().counted_unlisted) == (8, 7)


def test_an_event_of_an_older_schema_is_lifted(workshop, mesh, tablets, monkeypatch):
    monkeypatch.setitem(reading.UPCASTERS, 0, lambda kind, body: {"people": body["heads"]})

    (outcome,) = send(tablets[0], tablets[0].event("headcount", heads=4) | {"schema": 0})

    assert outcome.state == "applied"
    workshop.refresh_from_db()
    assert workshop.headcount_unlisted == 4


def test_a_schema_of_tomorrow_waits_and_can_be_released_once_it_is_read(workshop, mesh, tablets, monkeypatch):
    (outcome,) = send(tablets[0], tablets[0].event("headcount", people=4) | {"schema": 2})
    assert "schema 2" in outcome.words

    monkeypatch.setattr(reading, "SCHEMA", 2)
    outcome = applying.release(outcome=outcome, by=make_member(), at=AT)

    assert outcome.state == "applied"


def test_nobody_can_have_come_before_the_day(workshop, mesh, tablets):
    (outcome,) = send(
        tablets[0], tablets[0].event("headcount", people=4), at=TEN - datetime.timedelta(days=2)
    )

    assert outcome.state == "held"
    assert "nobody can have come yet" in outcome.words


def test_a_device_names_only_people_of_its_own_list(workshop, mesh, tablets):
    stranger = make_participant()

    (outcome,) = send(tablets[0], tablets[0].arrived(stranger))

    assert "on the list of this workshop" in outcome.words
    assert not Registration.objects.exists()


def test_the_device_of_a_member_of_staff_signs_for_what_it_did(workshop, mesh):
    crew = make_member(role=Role.DOOR_CREW)
    phone = Phone(make_device(workshop=workshop, staff_member=crew))
    send(phone, phone.bin_given({"participant": on_the_list(workshop).participant_id}, mesh))

    assert Handout.objects.get().entered_by == crew


def test_the_ledger_below_zero_is_flagged_and_nothing_is_dropped(workshop, tablets):
    can = make_bin_model(family="lidded_can")
    make_table(workshop, bins=1, bin_model=can)
    for _number in range(3):
        send(tablets[0], tablets[0].bin_given({"participant": on_the_list(workshop).participant_id}, can))

    balance = StockBalance.objects.get()
    assert (balance.on_hand, balance.excused) == (-2, 2)
    assert Handout.objects.filter(stock_exception__reason="").count() == 2
