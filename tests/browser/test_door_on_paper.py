"""Where a device cannot keep the Door: the printed roster is offered."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.door_api import WORKSHOP, DoorApi, open_door

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_where_the_device_cannot_keep_the_page_the_roster_of_this_workshop_is_one_link_away(
    chromium, live_server
):
    """The worker is barred here, as it is without a certificate that the device trusts."""
    context = chromium.new_context(viewport={"width": 360, "height": 760}, service_workers="block")
    DoorApi().answer_in(context)
    page = open_door(context.new_page(), live_server.url)
    expect(page.get_by_text("it will not open again without a signal")).to_be_visible()

    roster = page.get_by_role("link", name="Print the roster")

    expect(roster).to_have_attribute("href", reverse("workshop_sheet", args=[WORKSHOP]))
    context.close()
