"""A device's events: all are stored, once, and answered by their own numbers, whatever they say."""

import datetime
import json
import uuid

import pytest

from outreach.door.codes import token_digest
from outreach.door.models import Device, DoorEvent, EventOutcome
from outreach.workshops.models import Registration
from tests.factories.door import TEN, Phone, make_device, make_table
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture
def phone(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: TEN)
    workshop = make_workshop()
    make_table(workshop)
    return Phone(make_device(workshop=workshop, token_digest=token_digest("secret")), "secret")


def send(client, phone, *events, **said):
    envelope = {"schema": 1, "sent_at": TEN.isoformat(), "events": list(events)} | said
    return client.post(
        "/api/door/events",
        json.dumps(envelope),
        content_type="application/json",
        headers={"Authorization": f"Bearer {phone.token}"},
    )


def test_an_arrival_is_stored_named_and_on_the_list(client, phone):
    registration = make_registration(workshop=phone.device.workshop)
    event = phone.arrived(registration.participant)

    answer = send(client, phone, event)

    assert answer.status_code == 200
    assert answer.json()["answers"] == {event["id"]: {"state": "stored", "words": ""}}
    assert answer.json()["live"]["people_in"] == 1
    registration.refresh_from_db()
    assert (registration.state, registration.arrived_at) == ("attended", TEN)


def test_the_same_delivery_twice_changes_nothing(client, phone):
    registration = make_registration(workshop=phone.device.workshop)
    events = [phone.arrived(registration.participant, party=3), phone.event("headcount", people=4)]

    first, second = send(client, phone, *events), send(client, phone, *events, *events)

    assert first.json()["answers"] == second.json()["answers"]
    assert first.json()["live"] == second.json()["live"]
    assert DoorEvent.objects.count() == 2
    assert second.json()["live"]["people_in"] == 1 + 2 + 4


BROKEN = [
    "not an object",
    {"id": "no uuid", "kind": "arrived"},
    {"id": str(uuid.uuid4())},
    {"kind": "arrived", "body": {"participant": 1, "party": -4}, "seq": 10**30},
    {
        "id": str(uuid.uuid4()),
        "seq": 1,
        "schema": 99,
        "kind": "arrived",
        "body": {},
        "happened_at": "2025-05-09T17:00Z",
    },
    {
        "id": str(uuid.uuid4()),
        "seq": 2,
        "schema": 1,
        "kind": "danced",
        "body": {},
        "happened_at": "2025-05-09T17:00Z",
    },
    {
        "id": str(uuid.uuid4()),
        "seq": 3,
        "schema": 1,
        "kind": "arrived",
        "body": [1],
        "happened_at": "9999-12-31T23:59Z",
    },
    {
        "id": str(uuid.uuid4()),
        "body": {"name": "A\x00B\ud800"},
        "by": "\x00" * 500,
        "happened_at": "yesterday",
    },
]


@pytest.mark.parametrize("sent", BROKEN, ids=range(len(BROKEN)))
def test_what_cannot_be_read_is_kept_and_waits_with_words(client, phone, sent):
    answer = send(client, phone, sent)

    assert answer.status_code == 200
    (told,) = answer.json()["answers"].values()
    assert told["state"] == "held"
    assert told["words"]
    assert EventOutcome.objects.get().state == "held"
    assert send(client, phone, sent).status_code == 200
    assert DoorEvent.objects.count() == 1


def test_one_broken_event_keeps_no_other_back(client, phone):
    registration = make_registration(workshop=phone.device.workshop)

    send(client, phone, BROKEN[0], phone.arrived(registration.participant))

    assert Registration.objects.get().state == "attended"


def test_one_number_for_two_things_keeps_both(client, phone):
    number = uuid.uuid4()
    one, other = (phone.event("headcount", people=n, number=number) for n in (2, 3))

    send(client, phone, one)
    send(client, phone, other)

    assert DoorEvent.objects.count() == 2
    assert sorted(EventOutcome.objects.values_list("state", flat=True)) == ["applied", "held"]


def test_one_place_in_the_order_for_two_things_keeps_both(client, phone):
    one, other = (phone.event("headcount", people=n) | {"seq": 7} for n in (2, 3))

    answer = send(client, phone, one, other)

    assert answer.json()["answers"][other["id"]]["state"] == "held"
    assert DoorEvent.objects.filter(seq=7).count() == 1


@pytest.mark.parametrize("body", [b"{", b"[]", b'{"events": {}}', b"\xff\xfe"])
def test_a_request_that_is_no_envelope_is_refused_in_words(client, phone, body):
    answer = client.post(
        "/api/door/events", body, content_type="application/json", headers={"Authorization": "Bearer secret"}
    )

    assert answer.status_code == 400
    assert answer.json()["sentence"]


@pytest.mark.parametrize("authorization", ["", "Bearer", "Bearer wrong", "Basic c2VjcmV0"])
def test_an_unknown_token_is_turned_away(client, phone, authorization):
    answer = client.get("/api/door/roster", headers={"Authorization": authorization})

    assert answer.status_code == 401
    assert answer.json()["sentence"]


def test_a_device_that_has_ended_loses_the_roster_and_may_deliver(client, phone, monkeypatch):
    registration = make_registration(workshop=phone.device.workshop)
    monkeypatch.setattr("django.utils.timezone.now", lambda: TEN + datetime.timedelta(days=1))

    roster = client.get("/api/door/roster", headers={"Authorization": "Bearer secret"})
    delivered = send(client, phone, event := phone.arrived(registration.participant))

    assert roster.status_code == 410
    assert "ended" in roster.json()["sentence"]
    assert delivered.json()["answers"][event["id"]]["state"] == "held"
    assert delivered.json()["live"] is None
    registration.refresh_from_db()
    assert registration.state == "booked"


def test_an_event_of_another_workshop_waits(client, phone):
    event = phone.event("headcount", people=3) | {"workshop": make_workshop().pk}

    answer = send(client, phone, event)

    assert "another workshop" in answer.json()["answers"][event["id"]]["words"]


def test_what_the_device_still_holds_is_written_down(client, phone):
    send(client, phone, unsent=12)

    device = Device.objects.get()
    assert (device.unsent, device.last_offset_ms) == (12, 0)


def test_what_was_stored_right_before_the_server_stopped_is_applied_at_the_next_contact(
    client, phone, monkeypatch
):
    registration = make_registration(workshop=phone.device.workshop)
    with monkeypatch.context() as killed:
        killed.setattr("outreach.door.applying.apply_new", lambda **_events: [])
        send(client, phone, phone.arrived(registration.participant))
    assert not EventOutcome.objects.exists()

    client.get("/api/door/roster", headers={"Authorization": "Bearer secret"})

    assert EventOutcome.objects.get().state == "applied"
