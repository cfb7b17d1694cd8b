"""Answering on a phone in either language: in full, in part, corrected, too late, with a link of nobody's."""

import datetime
import os
from collections.abc import Iterator

import pytest
from django.utils import timezone
from playwright.sync_api import expect

from outreach.followup import invitation_links
from outreach.followup.models import Answer, Invitation, OwnContainer
from outreach.households import consent
from outreach.post import links
from tests.browser.conftest import Look
from tests.factories.bins import make_handout
from tests.factories.followup import make_invitation, make_wave
from tests.factories.households import make_household, make_participant

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

# 360 by 760 is a small phone of these years; two pages of questions, each of at most two of its screens.
WIDTH, HEIGHT = 360, 760
MOST_SCREENS = 2
WORDS = {
    "en": {
        "bucket": "5-gallon bucket",
        "bag": "paper yard bag",
        "go_on": "Keep, and go on",
        "send": "Send",
        "kept": "It is kept",
        "correct": "Correct something",
        "have": "We have your answer.",
        "why": "Why did you stop?",
        "over": "Nothing to answer just now",
        "broken": "This link does not work",
        "choose": "Choose one; the rest may stay empty.",
        "stop": "Ask me no more",
        "stopped_asking": "We ask you nothing more",
    },
    "es": {
        "bucket": "cubeta de 5 galones",
        "bag": "bolsa de papel para jardín",
        "go_on": "Guardar y seguir",
        "send": "Enviar",
        "kept": "Está guardada",
        "correct": "Corregir algo",
        "have": "Tenemos su respuesta.",
        "why": "¿Por qué dejó de hacerlo?",
        "over": "Por ahora no hay nada que contestar",
        "broken": "Este enlace no funciona",
        "choose": "Elija una; lo demás puede quedar en blanco.",
        "stop": "No me pregunten más",
        "stopped_asking": "No le preguntaremos más",
    },
}


@pytest.fixture(params=["en", "es"])
def language(request) -> str:
    return request.param


def window(chromium, live_server, language, *, scripts=True) -> Look:
    context = chromium.new_context(
        viewport={"width": WIDTH, "height": HEIGHT}, locale=f"{language}-US", java_script_enabled=scripts
    )
    seen = Look(page=context.new_page(), base=live_server.url)
    seen.words = WORDS[language]
    seen.page.on("console", lambda said: said.type == "error" and seen.complaints.append(said.text))
    return seen


@pytest.fixture
def phone(chromium, live_server, language) -> Iterator[Look]:
    seen = window(chromium, live_server, language)
    yield seen
    seen.page.context.close()


@pytest.fixture
def phone_without_script(chromium, live_server, language) -> Iterator[Look]:
    seen = window(chromium, live_server, language, scripts=False)
    yield seen
    seen.page.context.close()


@pytest.fixture
def invitation() -> Invitation:
    today = timezone.localdate()
    home = make_household(street="5 Reed Street")
    make_participant(household=home, full_name="Ada Holm", email="ada@example.org")
    make_handout(household=home, handed_on=today - datetime.timedelta(days=100))
    OwnContainer.objects.create(name="green caddy", name_key="green caddy", ml=7000)
    wave = make_wave(months_after=3)
    return make_invitation(household=home, wave=wave, opened_at=timezone.now(), opened_on=today)


@pytest.fixture
def link(invitation, language) -> str:
    return "/" + invitation_links.mailed(invitation, language).split("/", 3)[3]


def look_well(phone):
    assert phone.cut_off() == []
    assert phone.serious_barriers() == []
    assert phone.complaints == []


def keep_picture(phone, name):
    if folder := os.environ.get("LOAMBOOK_PICTURES"):
        phone.page.screenshot(path=f"{folder}/{name}.png", full_page=True)


def screens(phone) -> float:
    return phone.page.evaluate("document.documentElement.scrollHeight") / HEIGHT


def answer_first_page(phone, link):
    page = phone.open(link)
    page.locator("[name=composting][value=yes]").check()
    food = page.locator("fieldset", has=page.locator("[name=food_container]")).last
    food.get_by_text(phone.words["bucket"]).click()
    page.locator("[name=food_count]").fill("2")
    page.locator("[name=food_fill]").select_option("half")
    page.get_by_text(phone.words["bag"]).click()
    page.locator("[name=yard_count]").fill("3")
    page.get_by_role("button", name=phone.words["go_on"]).click()


def test_an_answer_in_full_takes_two_pages_of_at_most_two_screens(phone, link, language):
    phone.open(link)
    look_well(phone)
    keep_picture(phone, f"first-{language}")
    assert screens(phone) <= MOST_SCREENS
    answer_first_page(phone, link)
    page = phone.page
    expect(page.locator("[name=line]")).to_be_visible()
    look_well(phone)
    keep_picture(phone, f"second-{language}")
    assert screens(phone) <= MOST_SCREENS

    page.locator("[name=browns_count]").fill("1")
    page.locator("[name=browns_container]").select_option("five-gallon-bucket")
    page.locator("[name=before]").select_option("trash")
    page.locator("[name=harvested]").fill("a bucket")
    page.locator("[name=problems]").fill("ants")
    page.locator("[name=line]").fill("thank you")
    page.get_by_role("button", name=phone.words["send"]).click()

    expect(page.locator("main")).to_contain_text(phone.words["kept"])
    look_well(phone)
    keep_picture(phone, f"kept-{language}")
    answer = Answer.objects.current().get()
    assert (answer.food_ml_per_week, answer.browns_ml_per_week) == (18_927, 18_927)
    assert (answer.food_trash_percent, answer.problems, answer.channel) == (100, "ants", "link")


def test_in_part_and_corrected_later(phone, link, language):
    answer_first_page(phone, link)
    expect(phone.page.locator("[name=line]")).to_be_visible()
    assert Answer.objects.current().get().yard_ml_per_week > 0

    page = phone.open(link)
    expect(page.locator("main")).to_contain_text(phone.words["have"])
    expect(page.locator("[name=food_count]")).to_have_value("2")
    page.locator("[name=composting][value=stopped]").check()
    expect(page.get_by_label(phone.words["why"])).to_be_visible()
    keep_picture(phone, f"stopped-{language}")
    look_well(phone)
    page.get_by_label(phone.words["why"]).fill("ants")
    for name in ("food", "yard"):
        page.locator(f"[name={name}_container][value=none]").check()
        page.locator(f"[name={name}_count]").fill("")
    page.get_by_role("button", name=phone.words["go_on"]).click()

    expect(page.locator("[name=line]")).to_be_visible()
    answer = Answer.objects.current().get()
    assert (answer.composting, answer.why_stopped, answer.food_ml_per_week) == ("stopped", "ants", 0)
    assert (answer.review_reason, Answer.objects.corrected().count()) == ("", 1)


def test_without_script_it_is_the_same(phone_without_script, link):
    phone = phone_without_script
    phone.open(link)
    phone.page.get_by_role("button", name=phone.words["go_on"]).click()
    expect(phone.page.locator("main")).to_contain_text(phone.words["choose"])

    answer_first_page(phone, link)
    phone.page.get_by_role("button", name=phone.words["send"]).click()

    expect(phone.page.locator("main")).to_contain_text(phone.words["kept"])
    assert Answer.objects.current().get().food_ml_per_week == 18_927


def test_a_mistake_is_said_where_it_is_and_keeps_what_was_typed(phone, link, language):
    page = phone.open(link)
    page.locator("[name=food_count]").fill("2")

    page.get_by_role("button", name=phone.words["go_on"]).click()

    expect(page.locator("main")).to_contain_text(phone.words["choose"])
    expect(page.locator("[name=food_count]")).to_have_value("2")
    keep_picture(phone, f"mistake-{language}")
    assert phone.cut_off() == []
    assert phone.serious_barriers() == []


def test_too_late_and_with_a_link_of_nobodys_the_page_is_kind(phone, link, invitation, language):
    page = phone.open(f"/answer/{links.make('answer', {'invitation': 999_999})}/?language={language}")
    expect(page.locator("h1")).to_have_text(phone.words["broken"])
    assert (phone.cut_off(), phone.serious_barriers()) == ([], [])
    keep_picture(phone, f"stranger-{language}")

    yesterday = timezone.localdate() - datetime.timedelta(days=1)
    Invitation.objects.update(opened_on=yesterday, closes_on=yesterday)
    page = phone.open(link)
    expect(page.locator("h1")).to_have_text(phone.words["over"])
    assert (phone.cut_off(), phone.serious_barriers()) == ([], [])
    keep_picture(phone, f"over-{language}")


def test_whoever_wants_no_more_questions_says_so_from_the_page(phone, link, invitation):
    page = phone.open(link)
    page.get_by_role("link", name=phone.words["stop"]).click()
    page.get_by_role("button", name=phone.words["stop"]).click()

    expect(page.locator("h1")).to_have_text(phone.words["stopped_asking"])
    assert not consent.may_ask(invitation.household, "follow_up")
