"""The pages for residents, without sign-in: both languages, a phone's width, no barriers, no script needed."""

from collections.abc import Iterator

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser.conftest import Look

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(params=["en", "es"])
def phone(request, chromium, live_server) -> Iterator[Look]:
    context = chromium.new_context(
        viewport={"width": 360, "height": 760}, locale=f"{request.param}-US", java_script_enabled=True
    )
    seen = Look(page=context.new_page(), base=live_server.url)
    seen.page.on("console", lambda said: said.type == "error" and seen.complaints.append(said.text))
    yield seen
    context.close()


@pytest.mark.parametrize("name", ["recipe", "bin_advice", "diagnosis", "sheet"])
def test_a_resident_meets_no_barrier(phone, name):
    page = phone.open(reverse(name))
    page.locator("main form button").first.click()

    assert page.locator("html").get_attribute("lang") in {"en", "en-us", "es"}
    assert phone.cut_off() == []
    assert phone.serious_barriers() == []
    assert phone.complaints == []


def test_a_question_is_sent_from_a_phone(phone):
    page = phone.open(reverse("ask_for_help"))
    faults = phone.cut_off() + phone.serious_barriers()
    page.locator("#id_symptom_0").check()
    page.locator("#id_written_name").fill("Wren Halloway")
    page.locator("#id_phone").fill("555-0142")
    page.locator("main form button").first.click()

    expect(page.locator("h1")).to_have_text({"en": "Thank you", "es": "Gracias"}[_language(page)])
    assert faults + phone.cut_off() + phone.serious_barriers() + phone.complaints == []


def _language(page):
    return page.locator("html").get_attribute("lang")[:2]


def test_the_language_follows_the_link(phone):
    page = phone.open(f"{reverse('recipe')}?language=es")

    expect(page.locator("html")).to_have_attribute("lang", "es")
