"""How long contact is kept: set only after what it would drop was shown, on any screen."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from outreach.households import holding_back, retention
from outreach.staff.roles import Role
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.mark.parametrize("width", [360, 1280])
def test_it_is_set_after_a_look_and_what_is_held_is_listed(look_as, settings, tmp_path, width):
    settings.VAR = tmp_path
    began = datetime.date(2015, 1, 1)
    homes = [
        make_household(began_on=began),
        make_household(began_on=began, street="12345 Commander Featherstonehaugh Parkway"),
    ]
    for home in homes:
        make_participant(household=home, first_seen_on=began)
    at = timezone.now()
    until = timezone.localdate(at) + datetime.timedelta(days=60)
    holding_back.hold(
        household=homes[1], reason="The grant is audited", until_on=until, by=make_member(), at=at
    )
    window = look_as(Role.ADMINISTRATOR, width=width)

    page = window.open(reverse("retention"))
    faults = window.cut_off() + window.serious_barriers()
    page.get_by_label("Months after the bin was last in use").fill("24")
    page.get_by_role("button", name="Show what this would drop today").click()
    expect(page.get_by_text("Nothing is changed yet")).to_be_visible()
    faults += window.cut_off() + window.serious_barriers()
    page.get_by_label("I know that what goes cannot be brought back").check()
    page.get_by_role("button", name="Set it").click()
    expect(page.get_by_role("heading", name="Set now")).to_be_visible()
    faults += window.cut_off() + window.serious_barriers()

    assert retention.schedule().months_after_use == 24
    page.get_by_role("link", name="See the holds").click()
    expect(page.get_by_text("The grant is audited")).to_be_visible()
    faults += window.cut_off() + window.serious_barriers()
    assert faults == []
