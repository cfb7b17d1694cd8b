"""What the coordinator does about a Door: passes, what goes on, what waits, and closing."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.bins.models import Handout, StockCount
from outreach.door.codes import ALPHABET
from outreach.door.models import Closing, Device, DoorPass, EventOutcome
from outreach.door.receiving import Delivery, receive
from outreach.staff.roles import Role
from outreach.workshops import holding
from outreach.workshops.models import Registration, Workshop
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.door import TEN, Phone, make_device, make_door_pass, make_table
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_workshop

pytestmark = pytest.mark.django_db

LATER = TEN + datetime.timedelta(minutes=5)


@pytest.fixture(autouse=True)
def a_little_later(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: LATER)


@pytest.fixture
def workshop():
    return make_workshop()


@pytest.fixture
def mesh(workshop):
    mesh = make_bin_model(name="Mesh ring")
    make_table(workshop, bins=10, bin_model=mesh)
    return mesh


@pytest.fixture
def phone(workshop, mesh):
    return Phone(make_device(workshop=workshop))


def send(phone, *events, at=LATER):
    receive(device=phone.device, delivery=Delivery(events=events), at=at)


def on_the_list(workshop, name="Ada Lindqvist"):
    home = make_household(jurisdiction=workshop.jurisdiction)
    return make_registration(workshop=workshop, participant=make_participant(household=home, full_name=name))


def test_the_code_of_a_pass_is_shown_once_with_its_picture(as_coordinator, workshop):
    card = as_coordinator.post(f"/door/{workshop.pk}/passes/", {"may_except": "on"})
    again = as_coordinator.get(f"/door/{workshop.pk}/passes/")

    code = card.context["code"]
    assert set(code.replace("-", "")) <= set(ALPHABET)
    assert code in card.content.decode()
    assert "data:image/svg+xml" in card.content.decode()
    assert code not in again.content.decode()
    assert DoorPass.objects.get().may_except


def test_a_pass_is_taken_back(as_coordinator, workshop):
    door_pass = make_door_pass(workshop=workshop)

    as_coordinator.post(f"/door/passes/{door_pass.pk}/revoke/")

    door_pass.refresh_from_db()
    assert door_pass.revoked_at == LATER


def test_bins_come_from_where_the_coordinator_says(as_coordinator, workshop, phone, mesh):
    van = make_stock_place(name="Van")

    as_coordinator.post(f"/door/{workshop.pk}/table/", {"place": van.pk})
    send(phone, phone.bin_given({"participant": on_the_list(workshop).participant_id}, mesh))

    assert Handout.objects.get().movements.get().from_place == van


def test_the_page_shows_people_bins_exceptions_and_devices(as_coordinator, workshop, phone, mesh):
    registration = on_the_list(workshop)
    who = {"participant": registration.participant_id}
    send(
        phone,
        phone.arrived(registration.participant, party=4),
        *(phone.bin_given(who, mesh) for _ in range(2)),
    )
    Device.objects.update(unsent=6)

    page = as_coordinator.get(f"/door/{workshop.pk}/live/")
    fragment = as_coordinator.get(f"/door/{workshop.pk}/live/", headers={"HX-Request": "true"})

    assert (page.context["people_in"], page.context["exceptions"]) == (4, 1)
    assert [(shelf.bin_model, shelf.left) for shelf in page.context["shelves"]] == [(mesh, 8)]
    assert "holds something" in page.content.decode()
    assert "<html" not in fragment.content.decode()


def test_a_device_that_says_nothing_of_itself_is_told_by_when_it_was_let_in(as_coordinator, workshop, phone):
    Device.objects.update(unsent=2, by_name="Rosa")

    for page in ("live", "close"):
        html = as_coordinator.get(f"/door/{workshop.pk}/{page}/").content.decode()
        assert "a device let in at 10:00 a.m." in html
        assert "Rosa" in html
        assert str(phone.device.uuid) not in html


def test_what_waits_is_released_or_set_aside_with_a_reason(as_coordinator, workshop, phone):
    people = [on_the_list(workshop, name) for name in ("Ada Lindqvist", "Bo Ek")]
    Device.objects.update(revoked_at=TEN, revoked_by=phone.device.door_pass.made_by)
    phone.device.refresh_from_db()
    events = [phone.arrived(one.participant) for one in people]
    send(phone, *events)

    page = as_coordinator.get(f"/door/{workshop.pk}/held/").content.decode()
    as_coordinator.post(f"/door/held/{events[0]['id']}/release/")
    nothing_said = as_coordinator.post(f"/door/held/{events[1]['id']}/set-aside/", {"reason": " "})
    as_coordinator.post(f"/door/held/{events[1]['id']}/set-aside/", {"reason": "the phone was lost"})

    assert "Ada Lindqvist came, a party of 1" in page
    assert nothing_said.status_code == 422
    assert sorted(Registration.objects.values_list("state", flat=True)) == ["attended", "booked"]
    assert EventOutcome.objects.get(pk=events[1]["id"]).reason == "the phone was lost"
    assert "the phone was lost" in as_coordinator.get(f"/door/{workshop.pk}/held/").content.decode()


def test_a_walk_in_is_put_right(as_coordinator, workshop, phone):
    walk_in = phone.walked_in("Ada Lindqvist", "Reed Street")
    send(phone, walk_in)
    address = f"/door/held/{walk_in['id']}/correct/"

    form = as_coordinator.get(address)
    still_wrong = as_coordinator.post(address, {"name": "Ada Lindqvist", "street": "Reed Street"})
    as_coordinator.post(address, {"name": "Ada Lindqvist", "street": "12 Reed Street"})

    assert form.context["form"]["street"].value() == "Reed Street"
    assert still_wrong.status_code == 422
    assert Registration.objects.get().household.street == "12 Reed St"


def counted(**differences):
    return {
        "cash_cents": "0",
        "cheques_cents": "0",
        "difference_explained": "",
        "materials": "",
    } | differences


def test_closing_writes_down_people_bins_and_money(as_coordinator, workshop, phone, mesh):
    came, missing = on_the_list(workshop), on_the_list(workshop, "Bo Ek")
    copay = {"how": "cash", "cents": 1500, "receipt": "7"}
    who = {"participant": came.participant_id}
    send(phone, phone.arrived(came.participant, party=2), phone.bin_given(who, mesh, copay=copay))
    send(phone, undone := phone.bin_given(who, mesh, copay=copay), phone.undone(undone))
    address, bins = f"/door/{workshop.pk}/close/", f"bins_{mesh.pk}"

    shown = as_coordinator.get(address).context["form"]
    unexplained = as_coordinator.post(address, counted(**{bins: "8", "cash_cents": "15.00"}))
    said = {
        bins: "8",
        "cash_cents": "15.00",
        "difference_explained": "one was broken",
        "materials": "two signs",
    }
    closed = as_coordinator.post(address, counted(**said))

    assert shown["cash_cents"].value() == "15.00"
    assert unexplained.status_code == 422
    assert "Say why what was counted differs" in unexplained.content.decode()
    assert closed.status_code == 302
    made = Closing.objects.get()
    assert (made.people_came, made.people_missed, made.people_unlisted) == (1, 1, 1)
    assert (made.cash_noted_cents, made.cash_found_cents, made.materials) == (1500, 1500, "two signs")
    assert (StockCount.objects.get().found, StockCount.objects.get().ledger_said) == (8, 9)
    missing.refresh_from_db()
    assert (missing.state, Workshop.objects.get().state) == ("missed", "closed")


def test_a_workshop_is_not_closed_over_devices_that_hold_something(
    as_coordinator, workshop, phone, mesh, coordinator
):
    Device.objects.update(unsent=2)
    address, bins = f"/door/{workshop.pk}/close/", f"bins_{mesh.pk}"

    refused = as_coordinator.post(address, counted(**{bins: "10"}))
    done = as_coordinator.post(address, counted(**{bins: "10", "devices_reason": "it fell into the pond"}))

    assert refused.status_code == 422
    assert "may still hold what happened" in refused.content.decode()
    assert done.status_code == 302
    assert (Closing.objects.get().devices_left, Closing.objects.get().devices_reason) == (
        1,
        "it fell into the pond",
    )


def test_a_device_that_was_not_heard_from_since_counts_as_out(as_coordinator, workshop, phone, monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: TEN + datetime.timedelta(hours=2))
    assert as_coordinator.get(f"/door/{workshop.pk}/close/").context["out"] == [phone.device]

    Device.objects.update(ended_at=LATER)
    assert as_coordinator.get(f"/door/{workshop.pk}/close/").context["out"] == []


def test_a_workshop_with_a_door_is_closed_on_its_page(workshop, phone, coordinator):
    holding.mark_held(workshop=workshop, by=coordinator, at=LATER)
    with pytest.raises(ValidationError, match="had a Door"):
        holding.close(workshop=workshop, by=coordinator, at=LATER)


def test_opened_again_what_came_late_goes_on_waiting(as_coordinator, workshop, phone, mesh, coordinator):
    registration = on_the_list(workshop)
    as_coordinator.post(f"/door/{workshop.pk}/close/", counted(**{f"bins_{mesh.pk}": "10"}))
    late = phone.arrived(registration.participant)
    send(phone, late)

    closed = as_coordinator.post(f"/door/held/{late['id']}/release/", follow=True).content.decode()
    holding.reopen(workshop=workshop, reason="a tablet turned up", by=coordinator, at=LATER)
    waiting = EventOutcome.objects.get(pk=late["id"]).state
    as_coordinator.post(f"/door/held/{late['id']}/release/")

    assert "Open it again" in closed
    assert waiting == "held"
    registration.refresh_from_db()
    assert registration.state == "attended"


@pytest.mark.parametrize("page", ["passes", "held", "close"])
def test_the_crew_sees_the_door_and_rules_on_nothing(as_role, workshop, page):
    crew = as_role(Role.DOOR_CREW)

    assert crew.get(f"/door/{workshop.pk}/live/").status_code == 200
    assert crew.get(f"/door/{workshop.pk}/{page}/").status_code == 403


def test_the_page_of_a_workshop_leads_to_its_door(as_coordinator, workshop):
    page = as_coordinator.get(f"/workshops/{workshop.pk}/").content.decode()

    for name in ("live", "passes", "close"):
        assert f'href="/door/{workshop.pk}/{name}/"' in page
