"""The call list by keyboard alone, and the page on which reminders end, on a phone and in both languages."""

import pytest
from playwright.sync_api import expect

from outreach.post import kinds, unsubscribing
from outreach.post.models import Message
from outreach.staff.roles import Role
from tests.browser.conftest import Look
from tests.factories.post import make_addressee, make_call, make_kind, make_message, make_reminder_kind

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def kinds_of_tests(monkeypatch):
    monkeypatch.setattr(kinds, "_kinds", {})
    make_kind()
    make_reminder_kind()


def test_one_key_for_what_came_of_each_call(look_as):
    calls = [make_call() for _number in range(3)]
    window = look_as(Role.COORDINATOR)
    page = window.open("/messages/calls/")

    for key, words in (("s", "said."), ("n", "not reached."), ("w", "given up")):
        with page.expect_navigation():
            page.keyboard.press(key)
        expect(page.get_by_text(words).first).to_be_visible()

    states = [Message.objects.get(pk=call.pk).state for call in calls]
    assert states == ["said", "queued", "given_up"]
    assert "Nobody is to be called now" in page.content()
    assert window.complaints == []


def test_a_key_means_the_call_that_the_reader_is_in(look_as):
    first, second = make_call(), make_call()
    page = look_as(Role.COORDINATOR).open("/messages/calls/")

    page.locator("[data-call]").nth(1).get_by_role("button", name="Not reached").focus()
    with page.expect_navigation():
        page.keyboard.press("s")

    assert [Message.objects.get(pk=one.pk).state for one in (first, second)] == ["queued", "said"]


@pytest.mark.parametrize(
    ("language", "button", "done"),
    [
        ("en", "No more reminders", "Send me reminders again"),
        ("es", "No más recordatorios", "Quiero volver a recibir recordatorios"),
    ],
)
def test_reminders_end_with_one_press_on_a_phone(chromium, live_server, language, button, done):
    reminder = make_message(kind="test.reminder", to=make_addressee(language=language))
    context = chromium.new_context(viewport={"width": 360, "height": 760}, java_script_enabled=True)
    window = Look(page=context.new_page(), base=live_server.url)
    page = window.open(f"{unsubscribing.path_of(reminder)}?language={language}")

    before = window.cut_off() + window.serious_barriers()
    page.get_by_role("button", name=button).click()

    expect(page.get_by_role("button", name=done)).to_be_visible()
    assert before + window.cut_off() + window.serious_barriers() == []
    assert unsubscribing.wants_no_reminders(reminder)
    context.close()
