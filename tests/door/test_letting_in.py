"""Devices come in by a pass or by someone who signed in; the roster they get is the least that works."""

import datetime
import json
import uuid

import pytest

from outreach.bins.models import Promise
from outreach.door import guessing, passing
from outreach.door.codes import code_digest, token_digest
from outreach.door.models import Device
from outreach.staff.roles import Role
from outreach.workshops import planning
from tests.factories.bins import make_bin_model, make_handout, make_rule
from tests.factories.door import TEN, make_device, make_door_pass, make_table
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member
from tests.factories.workshops import make_registration, make_waiver_text, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture(autouse=True)
def at_ten(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: TEN)


@pytest.fixture
def workshop():
    return make_workshop(starts_at_time=datetime.time(10), ends_at_time=datetime.time(12))


def ask(client, **said):
    body = {"name": "Bo Ek", "label": "Bo's phone", "device": str(uuid.uuid4())} | said
    return client.post("/api/door/devices", json.dumps(body), content_type="application/json")


def roster(client, token, **headers):
    return client.get("/api/door/roster", headers={"Authorization": f"Bearer {token}", **headers})


def test_a_pass_lets_a_phone_in_until_that_night(client, workshop, coordinator):
    made = passing.make_pass(workshop=workshop, may_except=False, by=coordinator, at=TEN)

    answer = ask(client, **{"pass": f" {made.code.lower().replace('-', ' ')} "})

    told = answer.json()
    assert answer.status_code == 201
    assert (told["workshop"], told["by"], told["may_except"]) == (workshop.pk, "Bo Ek", False)
    assert told["expires_at"] == "2025-05-10T00:00:00-07:00"
    device = Device.objects.get()
    assert device.token_digest == token_digest(told["token"])
    assert made.code not in str(vars(made.door_pass))
    assert roster(client, told["token"]).status_code == 200


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"pass": "AAAA-AAAA"}, "no such code"),
        ({}, "no such code"),
        ({"pass": "ENDED"}, "has ended"),
        ({"pass": "GOOD", "workshop": 0}, "another workshop"),
        ({"pass": "GOOD", "name": " "}, "Give the name"),
        ({"pass": "GOOD", "device": "phone"}, "no number of its own"),
    ],
)
def test_a_wrong_or_ended_pass_is_refused_in_a_sentence(client, workshop, said, sentence):
    make_door_pass(workshop=workshop, code_digest=code_digest("GOOD"))
    make_door_pass(
        workshop=workshop, code_digest=code_digest("ENDED"), revoked_at=TEN, revoked_by=make_member()
    )

    answer = ask(client, **said)

    assert answer.status_code == 403
    assert sentence in answer.json()["sentence"]
    assert not Device.objects.exists()


def test_codes_cannot_be_guessed_without_end(client, workshop):
    make_door_pass(workshop=workshop, code_digest=code_digest("GOOD"))
    for _number in range(guessing.MOST_WRONG):
        ask(client, **{"pass": "WRONG"})

    assert "Too many wrong codes" in ask(client, **{"pass": "GOOD"}).json()["sentence"]


def test_a_pass_follows_a_workshop_that_is_postponed(workshop, coordinator):
    made = passing.make_pass(workshop=workshop, may_except=False, by=coordinator, at=TEN)
    workshop.held_on += datetime.timedelta(days=7)
    planning.correct(workshop=workshop, by=coordinator, at=TEN)

    made.door_pass.refresh_from_db()
    assert made.door_pass.is_good(TEN + datetime.timedelta(days=7))


def test_revoking_a_pass_ends_the_devices_it_let_in(client, workshop, coordinator):
    device = make_device(workshop=workshop, token_digest=token_digest("secret"))

    passing.revoke_pass(door_pass=device.door_pass, by=coordinator, at=TEN)

    answer = roster(client, "secret")
    assert answer.status_code == 410
    assert "taken off the Door" in answer.json()["sentence"]


@pytest.mark.parametrize(("role", "may_except"), [(Role.COORDINATOR, True), (Role.DOOR_CREW, False)])
def test_whoever_signed_in_needs_no_pass(as_role, workshop, role, may_except):
    answer = as_role(role).post(
        f"/door/{workshop.pk}/device",
        json.dumps({"device": str(uuid.uuid4())}),
        content_type="application/json",
    )

    assert answer.status_code == 201
    assert answer.json()["may_except"] == may_except
    assert answer.json()["by"] == Device.objects.get().staff_member.full_name


def test_the_same_device_that_comes_in_again_is_one_device_with_a_new_token(client, workshop):
    make_door_pass(workshop=workshop, code_digest=code_digest("GOOD"))
    number = str(uuid.uuid4())

    first, second = (ask(client, **{"pass": "GOOD", "device": number}).json()["token"] for _time in range(2))

    assert Device.objects.count() == 1
    assert roster(client, first).status_code == 401
    assert roster(client, second).status_code == 200


def test_a_device_that_says_goodbye_holds_nothing_any_more(client, workshop):
    make_device(workshop=workshop, token_digest=token_digest("secret"), unsent=3)

    answer = client.post("/api/door/goodbye", headers={"Authorization": "Bearer secret"})

    assert answer.status_code == 204
    assert (Device.objects.get().ended_at, Device.objects.get().unsent) == (TEN, 0)


@pytest.fixture
def people(workshop):
    make_rule()
    home, served = (
        make_household(jurisdiction=workshop.jurisdiction),
        make_household(jurisdiction=workshop.jurisdiction),
    )
    ada = make_participant(
        household=home, full_name="Ada Lindqvist", email="ada@example.org", phone="555-555-0101"
    )
    bo = make_participant(household=served, full_name="Bo Ek")
    make_handout(household=served, bin_model=make_bin_model(name="Mesh"), handed_on=datetime.date(2024, 6, 1))
    Promise.objects.create(household=home, counted_under=home, workshop=workshop, made_at=TEN)
    return [make_registration(workshop=workshop, participant=one) for one in (ada, bo)]


def test_the_roster_has_what_the_door_needs(client, workshop, people):
    make_table(workshop, bins=7, bin_model=make_bin_model(name="Can", copay_cents=1500))
    make_waiver_text(), make_waiver_text(language="es", body="Participo por mi cuenta.")
    make_device(workshop=workshop, token_digest=token_digest("secret"))

    told = roster(client, "secret").json()

    ada, bo = sorted(told["people"], key=lambda person: person["name"])
    homes = {home["id"]: home for home in told["households"]}
    assert (ada["place"], ada["party"], ada["promised"], bo["promised"]) == ("booked", 1, True, False)
    assert homes[ada["household"]]["standing"]["may"] is True
    assert homes[bo["household"]]["standing"]["kind"] == "second_bin"
    assert "1 June 2024" in homes[bo["household"]]["standing"]["sentence"]["en"]
    assert homes[bo["household"]]["bins"] == ["Mesh, 1 June 2024"]
    assert told["waiver"]["text"]["es"] == "Participo por mi cuenta."
    assert [(model["name"], model["left"], model["copay_cents"]) for model in told["models"]] == [
        ("Can", 7, 1500)
    ]
    assert told["live"]["bins_left"] == {str(told["models"][0]["id"]): 7}
    assert told["workshop"]["starts"] == "2025-05-09T10:00:00-07:00"


def test_the_roster_tells_no_way_to_reach_anyone(client, workshop, people):
    make_device(workshop=workshop, token_digest=token_digest("secret"))

    text = roster(client, "secret").content.decode()

    assert "Ada Lindqvist" in text
    assert "example.org" not in text
    assert "555-0101" not in text


def test_a_roster_that_has_not_changed_is_not_sent_again(client, workshop, people):
    make_device(workshop=workshop, token_digest=token_digest("secret"))
    etag = roster(client, "secret").headers["ETag"]

    assert roster(client, "secret", **{"If-None-Match": etag}).status_code == 304

    people[0].state = "cancelled"
    people[0].save()
    assert roster(client, "secret", **{"If-None-Match": etag}).status_code == 200


def test_the_roster_takes_as_many_queries_for_forty_as_for_two(
    client, workshop, people, django_assert_max_num_queries
):
    make_device(workshop=workshop, token_digest=token_digest("secret"))
    for _number in range(38):
        home = make_household(jurisdiction=workshop.jurisdiction)
        make_registration(workshop=workshop, participant=make_participant(household=home))

    with django_assert_max_num_queries(45):
        assert len(roster(client, "secret").json()["people"]) == 40
