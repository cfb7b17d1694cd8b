"""The page that lets a device in: the workshops of the coming days for those who work at them."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.staff.roles import WITH_CONTACT_DATA, Role
from outreach.workshops.models import Workshop
from tests.factories.places import make_venue
from tests.factories.workshops import make_workshop

pytestmark = pytest.mark.django_db


@pytest.fixture
def today():
    return timezone.localdate()


def shown(client) -> list[Workshop]:
    return client.get("/door/").context["workshops"]


@pytest.mark.parametrize("role", list(Role))
def test_only_those_who_may_see_names_are_offered_workshops(as_role, role, today):
    workshop = make_workshop(held_on=today)

    assert shown(as_role(role)) == ([workshop] if role in WITH_CONTACT_DATA else [])


def test_a_device_can_be_made_ready_days_before_and_not_after(as_role, today):
    days = {ahead: today + datetime.timedelta(days=ahead) for ahead in (-1, 0, 7, 8)}
    made = {ahead: make_workshop(held_on=on) for ahead, on in days.items()}

    assert shown(as_role(Role.DOOR_CREW)) == [made[0], made[7]]


@pytest.mark.parametrize("state", ["closed", "cancelled"])
def test_a_workshop_that_is_over_is_not_offered(as_role, today, state):
    make_workshop(held_on=today, state=state, state_reason="Rain")

    assert shown(as_role(Role.DOOR_CREW)) == []


def test_each_workshop_leads_to_its_page_where_the_roster_is_printed(as_role, today):
    workshop = make_workshop(held_on=today, venue=make_venue(name="Orchard House"))

    html = as_role(Role.DOOR_CREW).get("/door/").content.decode()

    assert f'data-workshop="{workshop.pk}"' in html
    assert f'href="/workshops/{workshop.pk}/"' in html
    assert "Orchard House" in html


def test_without_a_trusted_certificate_each_roster_is_one_link_away(as_role, today):
    workshop = make_workshop(held_on=today)
    sheet = reverse("workshop_sheet", args=[workshop.pk])

    html = as_role(Role.DOOR_CREW).get("/door/").content.decode()

    notice = html.partition('id="no-https"')[2].partition("</div>")[0]
    assert f'href="{sheet}"' in notice
    assert as_role(Role.DOOR_CREW).get(sheet)["Content-Type"] == "application/pdf"


def test_the_door_is_in_the_index_of_those_who_work_there(as_role):
    assert "/door/" in [place.url for place in as_role(Role.DOOR_CREW).get("/gallery/").context["places"]]
    assert "/door/" not in [
        place.url for place in as_role(Role.CITY_ANALYST).get("/gallery/").context["places"]
    ]
