"""Calling by keys, postcards and who was asked, as the coordinator sees them."""

import datetime
import os

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from outreach.followup.models import FollowUpCall
from outreach.staff.roles import Role
from tests.factories.bins import make_handout, make_stay
from tests.factories.followup import make_answer, make_invitation, make_wave
from tests.factories.households import make_household, make_participant

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

NAMES = ("Ada Holm", "Ben Ito", "Maximiliana de los Ángeles Fernández-Montenegro", "Cy Adeyemi")


@pytest.fixture
def asked():
    """Four households with a bin for a hundred days, without an answer; one wave, and one that answered."""
    today, wave = timezone.localdate(), make_wave(months_after=3)
    at = timezone.now() - datetime.timedelta(days=9)
    for number, name in enumerate((*NAMES, "Dee Omar")):
        home = make_household(city_name="Quillby", zip_code="00071", language="es" if number % 2 else "en")
        make_participant(household=home, full_name=name, phone="555-555-0101")
        handed_on = today - datetime.timedelta(days=100)
        make_handout(household=home, handed_on=handed_on)
        make_stay(household=home, from_day=handed_on.toordinal())
        make_invitation(
            household=home, wave=wave, opened_at=at, opened_on=timezone.localdate(at), channel="call"
        )
    make_answer(household=home, wave=wave, answered_on=today, channel="link", reminders=0)
    return wave


def look_well(window):
    assert window.cut_off() == []
    assert window.serious_barriers() == []


def keep_picture(window, name):
    if folder := os.environ.get("LOAMBOOK_PICTURES"):
        window.page.screenshot(path=f"{folder}/{name}.png", full_page=True)


def names_on(page):
    return [name for name in NAMES if name in page.locator("main").inner_text()]


def test_calls_are_logged_with_one_key_each(look_as, asked):
    window = look_as(Role.COORDINATOR, width=1280)
    page = window.open(reverse("call_next"))
    look_well(window)
    keep_picture(window, "call-next")
    assert len(names_on(page)) == 4

    page.keyboard.press("n")
    expect(page.get_by_text("no reply. They come up again tomorrow.")).to_be_visible()
    page.keyboard.press("x")
    expect(page.get_by_role("heading", name="Not called any more")).to_be_visible()
    assert len(names_on(page)) == 2
    page.keyboard.press("a")
    expect(page.get_by_role("heading", name="Enter an answer")).to_be_visible()
    expect(page.locator("[name=channel]")).to_have_value("phone")

    replies = list(FollowUpCall.objects.order_by("pk").values_list("reply", flat=True))
    assert replies == ["no_reply", "not_to_call", "answered"]
    page = window.open(reverse("call_next"))
    page.get_by_role("button", name="May be called again").click()
    expect(page.get_by_text("may be called again.")).to_be_visible()


@pytest.mark.parametrize("width", [360, 1280])
def test_the_pages_of_asking_stand_on_any_screen(look_as, asked, width):
    window = look_as(Role.COORDINATOR, width=width)
    for name in ("asked", "postcards_due", "call_next"):
        window.open(reverse(name))
        look_well(window)
        keep_picture(window, f"{name}-{width}")
