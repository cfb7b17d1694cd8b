"""Calendar files, read back by the library that calendars of others are read with."""

import datetime
import json

import pytest
from django.urls import reverse
from icalendar import Calendar

from outreach.staff import people
from outreach.workshops import holding, postponing, staff_feeds, structured_data
from outreach.workshops.postponing import NewDate
from tests.factories.staff import make_member
from tests.workshops.sign_ups import AT, make_public_workshop, sign_up

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def today(monkeypatch):
    monkeypatch.setattr("django.utils.timezone.now", lambda: AT)


def events_of(answer):
    assert answer["Content-Type"].startswith("text/calendar")
    return {str(event["uid"]): event for event in Calendar.from_ical(answer.content).walk("VEVENT")}


def test_the_public_calendar_says_when_and_where(client):
    workshop = make_public_workshop(bring="A bag, a pen; and scraps\nof yesterday")
    make_public_workshop(venue=workshop.venue, is_public=False)

    [event] = events_of(client.get(reverse("public_calendar"))).values()

    # 10:00 in Los Angeles in May is 17:00 UTC (daylight time, seven hours behind).
    assert event.decoded("dtstart") == datetime.datetime(2026, 5, 9, 17, tzinfo=datetime.UTC)
    assert event.decoded("dtend") == datetime.datetime(2026, 5, 9, 18, 30, tzinfo=datetime.UTC)
    assert str(event["location"]) == "Orchard House, 1 Mill Lane, Quillby"
    assert "A bag, a pen; and scraps\nof yesterday" in str(event["description"])
    assert event["status"] == "CONFIRMED"


def test_lines_are_folded_and_end_as_the_standard_says(client):
    make_public_workshop(bring="Ñandú " * 40)

    raw = client.get(reverse("public_calendar")).content

    # RFC 5545, 3.1: lines end in CRLF and are at most 75 octets long.
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    assert b"\n" not in raw.replace(b"\r\n", b"")


def test_a_moved_workshop_keeps_its_name_and_counts_up(client):
    workshop = make_public_workshop()
    address = reverse("workshop_calendar", args=[workshop.pk])
    [before] = events_of(client.get(address)).items()
    to = NewDate(
        held_on=datetime.date(2026, 5, 23),
        starts_at_time=datetime.time(9),
        ends_at_time=None,
        venue=workshop.venue,
    )
    postponing.postpone(workshop=workshop, to=to, reason="Rain", by=make_member(), at=AT)
    [after] = events_of(client.get(address)).items()

    assert before[0] == after[0]
    assert after[1]["sequence"] > before[1]["sequence"]
    assert after[1].decoded("dtstart") == datetime.datetime(2026, 5, 23, 16, tzinfo=datetime.UTC)


def test_a_cancelled_workshop_is_struck_out(client):
    workshop = make_public_workshop()
    holding.cancel(workshop=workshop, reason="Storm", by=make_member(), at=AT)

    [event] = events_of(client.get(reverse("public_calendar"))).values()

    assert event["status"] == "CANCELLED"
    assert event["sequence"] == 1


def test_the_staff_calendar_has_counts_and_no_names(client):
    workshop = make_public_workshop(seats=2, bins_planned=5)
    sign_up(workshop, names=("Philippa Ravensworth",), people=2)
    sign_up(workshop)
    token = staff_feeds.token_of(make_member())

    answer = client.get(reverse("staff_calendar", args=[token]))

    [event] = events_of(answer).values()
    assert str(event["description"]) == "2 of 2 seats taken, 1 on standby, 5 bins planned, 0 came"
    assert b"Philippa" not in answer.content


def test_the_secret_address_ends_with_the_access_and_with_the_password(client):
    member, other = make_member(password="one long password"), make_member()
    addresses = [reverse("staff_calendar", args=[staff_feeds.token_of(one)]) for one in (member, other)]
    assert [client.get(address).status_code for address in addresses] == [200, 200]

    member.set_password("another long password")
    member.save()
    people.deactivate(member=other, by=member, at=AT)

    assert [client.get(address).status_code for address in addresses] == [404, 404]
    assert client.get(reverse("staff_calendar", args=["guessed"])).status_code == 404


def test_structured_data_names_the_event_and_cannot_leave_its_element():
    workshop = make_public_workshop()
    workshop.venue.name = "</script><script>alert(1)</script>"

    text = structured_data.as_element_text(structured_data.event_of(workshop, "https://example.org/"))

    event = json.loads(text)
    assert "</script" not in text
    assert (event["@context"], event["@type"]) == ("https://schema.org", "Event")
    assert event["startDate"] == "2026-05-09T10:00:00-07:00"
    assert event["location"]["name"] == workshop.venue.name
