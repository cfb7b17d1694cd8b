"""The bins pages: who may see what, what a form does, and no more queries with more rows."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from django.utils import timezone

from outreach.bins import ledger, recording_facts
from outreach.bins.models import BinModel, BinOrder, Handout, RuleException, RuleVersion, StockBalance
from outreach.bins.recording_facts import HandoutFact
from outreach.staff.roles import Role
from tests.factories.bins import make_bin_model, make_handout, make_order, make_stock_place
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_workshop

pytestmark = pytest.mark.django_db

AT = datetime.datetime(2025, 6, 1, 18, tzinfo=datetime.UTC)
DAY = datetime.date(2025, 5, 9)
LISTS = ["bins", "movements", "bin_models", "orders", "handouts"]
FOR_READERS = ["rules", "exceptions"]
OFFICE_FORMS = [
    "stock_receive",
    "stock_write_off",
    "order_add",
    "bin_model_add",
    "stock_place_add",
    "rule_add",
]
CREW_FORMS = ["stock_move", "stock_count"]


@pytest.fixture
def stocked():
    """A yard with five bins of lot A-1."""
    bin_model, place = make_bin_model(name="Mesh ring"), make_stock_place(name="Yard")
    ledger.receive(
        bin_model=bin_model, quantity=5, to_place=place, received_on=DAY, by=None, at=AT, lot="A-1"
    )
    return bin_model, place


def text_of(answer):
    return answer.content.decode()


def give(household, bin_model, place, **differences):
    facts = {"household": household, "bin_model": bin_model, "handed_on": DAY, "happened_at": AT}
    return recording_facts.record_facts(
        [HandoutFact(**facts | differences)], from_place=place, by=None, at=AT
    )[0]


@pytest.mark.parametrize("role", list(Role))
def test_each_role_opens_just_the_pages_that_are_its_own(as_role, role):
    client = as_role(role)
    office = role in (Role.ADMINISTRATOR, Role.COORDINATOR)
    expected = (
        dict.fromkeys(LISTS, True)
        | dict.fromkeys(FOR_READERS, role != Role.DOOR_CREW)
        | dict.fromkeys(OFFICE_FORMS, office)
        | dict.fromkeys(CREW_FORMS, office or role == Role.DOOR_CREW)
    )

    opened = {name: client.get(reverse(name)).status_code == 200 for name in expected}

    assert opened == expected


@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.AUDITOR])
def test_analysts_and_auditors_read_without_names_and_addresses(as_role, stocked, role):
    household = make_household(street="77 Secret Lane")
    person = make_participant(household=household, full_name="Nadia Nameless")
    workshop = make_workshop()
    handout = give(household, *stocked, participant=person, workshop=workshop, lot="A-1", note="blue gate")
    make_registration(workshop=workshop, participant=person, state="attended")
    client = as_role(role)

    pages = [
        client.get(reverse("handouts")),
        client.get(reverse("handout", args=[handout.pk])),
        client.get(reverse("lot"), {"lot": "a-1"}),
        client.get(reverse("exceptions")),
        client.get(reverse("movements")),
        client.get(reverse("household", args=[household.pk])),
        client.get(reverse("workshop", args=[workshop.pk])),
    ]

    for page in pages:
        assert page.status_code == 200
        assert not [word for word in ("Secret", "Nameless", "blue gate") if word in text_of(page)]


def test_who_has_a_lot_names_the_household_and_says_what_is_not_accounted_for(as_coordinator, stocked):
    household = make_household(street="77 Secret Lane")
    give(household, *stocked, lot="A-1")

    answer = as_coordinator.get(reverse("lot"), {"lot": "a-1"})

    assert "77 Secret Lane" in text_of(answer)
    assert answer.context["trace"].unaccounted == 4


def test_receiving_against_an_order_leaves_the_rest_to_come(as_coordinator):
    order = make_order(quantity=20)
    place = make_stock_place()

    as_coordinator.post(
        reverse("order_receive", args=[order.pk]),
        {"quantity": 12, "to_place": place.pk, "received_on": "2025-05-09", "lot": "B-2"},
    )

    assert BinOrder.objects.outstanding().get().to_come == 8
    assert "A-1" not in text_of(as_coordinator.get(reverse("bins")))
    assert StockBalance.objects.get().on_hand == 12


def test_moving_more_than_there_is_shows_the_sentence_on_the_form(as_coordinator, stocked):
    bin_model, place = stocked
    sent = {"bin_model": bin_model.pk, "quantity": 9, "from_place": place.pk, "moved_on": "2025-05-09"}

    answer = as_coordinator.post(reverse("stock_move"), sent | {"to_place": make_stock_place().pk})

    assert answer.status_code == 422
    assert "The ledger has 5 of Mesh ring at Yard." in text_of(answer)
    assert 'value="9"' in text_of(answer)


def test_counting_and_writing_off_change_the_ledger(as_coordinator, stocked):
    bin_model, place = stocked
    shelf = {"bin_model": bin_model.pk, "place": place.pk}

    as_coordinator.post(reverse("stock_count"), shelf | {"quantity": 4, "counted_on": "2025-05-10"})
    as_coordinator.post(
        reverse("stock_write_off"), shelf | {"quantity": 1, "written_off_on": "2025-05-10", "note": "split"}
    )

    assert StockBalance.objects.get().on_hand == 3


def test_a_bin_is_handed_out_from_the_roster(as_role, stocked):
    workshop = make_workshop()
    registration = make_registration(workshop=workshop, state="attended")
    client = as_role(Role.DOOR_CREW)
    assert 'name="shelf"' in text_of(client.get(reverse("workshop", args=[workshop.pk])))
    sent = {
        "shelf": f"{stocked[0].pk}-{stocked[1].pk}",
        "workshop": workshop.pk,
        "participant": registration.participant_id,
        "handed_on": "2025-05-09",
    }

    answer = client.post(reverse("hand_out", args=[registration.household_id]), sent)

    assert answer.url == reverse("workshop", args=[workshop.pk])
    handout = Handout.objects.get()
    assert (handout.workshop, handout.participant, handout.slot) == (workshop, registration.participant, 1)
    assert 'name="shelf"' not in text_of(client.get(answer.url))


def test_a_refused_handout_keeps_what_was_typed_and_asks_only_the_office_for_a_reason(as_role, stocked):
    household = make_household()
    give(household, *stocked)
    sent = {"bin_model": stocked[0].pk, "from_place": stocked[1].pk, "handed_on": "2025-05-10", "lot": "A-1"}
    url = reverse("hand_out", args=[household.pk])

    crew = as_role(Role.DOOR_CREW).post(url, sent | {"exception_reason": "because"})
    office = as_role(Role.COORDINATOR).post(url, sent)

    for answer in (crew, office):
        assert answer.status_code == 422
        assert "The household had its bin on 9 May 2025." in text_of(answer)
        assert 'value="A-1"' in text_of(answer)
    assert "exception_reason" not in text_of(crew)
    assert "exception_reason" in text_of(office)
    assert Handout.objects.count() == 1
    as_role(Role.COORDINATOR).post(url, sent | {"exception_reason": "Large garden"})
    assert RuleException.objects.get().reason == "Large garden"


def test_an_exception_gets_its_reason_and_leaves_the_list_of_open_ones(as_coordinator, coordinator, stocked):
    give(make_household(jurisdiction=None), *stocked)
    flag = RuleException.objects.get()
    assert "1 exception has no reason yet." in text_of(as_coordinator.get(reverse("bins")))

    as_coordinator.post(reverse("exception_reason", args=[flag.pk]), {"reason": "School garden"})

    flag.refresh_from_db()
    assert (flag.reason, flag.allowed_by) == ("School garden", coordinator)
    assert "No exception is like that." in text_of(
        as_coordinator.get(reverse("exceptions"), {"reason": "missing"})
    )


def test_what_becomes_of_a_handout(as_coordinator, stocked):
    bin_model, place = stocked
    one, two, three = [give(make_household(), bin_model, place) for _ in range(3)]

    as_coordinator.post(
        reverse("handout_take_back", args=[one.pk]), {"taken_back_on": "2025-06-01", "to_place": place.pk}
    )
    as_coordinator.post(
        reverse("handout_replace", args=[two.pk]),
        {"bin_model": bin_model.pk, "from_place": place.pk, "replaced_on": "2025-06-01", "note": "lid broke"},
    )
    as_coordinator.post(reverse("handout_void", args=[three.pk]), {"reason": "Wrong person"})

    assert Handout.objects.get(pk=one.pk).returned_on == datetime.date(2025, 6, 1)
    assert Handout.objects.get(replaces=two).slot is None
    assert Handout.objects.get(pk=three.pk).void_reason == "Wrong person"
    assert StockBalance.objects.get().on_hand == 3
    assert as_coordinator.get(reverse("handout", args=[two.pk])).status_code == 200


def test_moving_out_offers_the_same_people_elsewhere(as_coordinator, stocked):
    old, new = make_household(), make_household()
    for household in (old, new):
        make_participant(household=household, full_name="Ada Mover", name_key="ADA MOVER")
    give(old, *stocked)
    sent = {"on": "2025-06-01", "bin_after": "came_along", "new_household": new.pk}

    as_coordinator.post(reverse("move_out", args=[old.pk]), sent)

    old.refresh_from_db()
    assert old.bin_after_move == "came_along"
    assert "Brought a bin along" in text_of(as_coordinator.get(reverse("household", args=[new.pk])))


def test_a_model_met_in_paperwork_is_confirmed_by_a_person(as_coordinator, coordinator):
    met = make_bin_model(name="Tub 200", family="none", litres=None)
    assert "waits for someone to confirm" in text_of(as_coordinator.get(reverse("bins")))

    as_coordinator.post(
        reverse("bin_model", args=[met.pk]), {"name": "Tub 200", "family": "rigid", "litres": 200}
    )

    met.refresh_from_db()
    assert (met.confirmed_by, met.family) == (coordinator, "rigid")


def test_one_model_has_one_name_in_any_spelling(as_coordinator):
    as_coordinator.post(
        reverse("bin_model_add"), {"name": "Mesh ring", "family": "mesh", "copay_cents": "15"}
    )

    answer = as_coordinator.post(reverse("bin_model_add"), {"name": "MESH  Ring", "family": "mesh"})

    assert "already recorded as" in text_of(answer)
    assert BinModel.objects.get().copay_cents == 1500


def test_a_rule_is_added_and_never_edited(as_coordinator):
    sent = {
        "in_force_from_on": "2030-01-01",
        "slots": 2,
        "window": "calendar_year",
        "earlier_bins_count": "on",
    }

    as_coordinator.post(reverse("rule_add"), sent)

    assert RuleVersion.objects.count() == 2
    assert "still to come" in text_of(as_coordinator.get(reverse("rules")))


def test_stock_that_runs_short_names_the_workshop(as_coordinator, stocked):
    today = timezone.localdate()
    make_workshop(held_on=today + datetime.timedelta(days=3), bins_planned=4)
    short = make_workshop(held_on=today + datetime.timedelta(days=9), bins_planned=30)
    make_order(quantity=20, ordered_on=today, due_on=today + datetime.timedelta(days=8))

    notice = text_of(as_coordinator.get(reverse("bins")))

    # 5 on hand and 20 in time, less 4 and 30: nine are lacking at the second one.
    assert f"{short.venue} goes short of 9." in notice


@pytest.mark.parametrize("name", ["bins", "movements", "handouts", "exceptions", "orders", "bin_models"])
def test_more_rows_take_no_more_queries(as_coordinator, stocked, name):
    def fill(count):
        for _ in range(count):
            give(make_household(jurisdiction=None), *stocked)
            make_order()
            make_handout()

    def queries():
        with CaptureQueriesContext(connection) as captured:
            assert as_coordinator.get(reverse(name)).status_code == 200
        return len(captured)

    fill(6)
    queries()
    few = queries()
    fill(8)

    assert queries() == few


def test_a_longer_roster_takes_no_more_queries(as_coordinator, stocked):
    workshop = make_workshop(seats=100)

    def queries(count):
        for _ in range(count):
            registration = make_registration(workshop=workshop, state="attended")
            give(registration.household, *stocked, workshop=workshop, participant=registration.participant)
        with CaptureQueriesContext(connection) as captured:
            as_coordinator.get(reverse("workshop", args=[workshop.pk]))
        return len(captured)

    queries(1)

    assert queries(1) == queries(8)
