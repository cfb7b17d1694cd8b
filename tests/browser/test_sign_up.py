"""Signing up on a phone in either language: places, standby, offer, giving back, reminder; mail by a real server."""

import datetime
import re
from collections.abc import Iterator

import pytest
from aiosmtpd.controller import Controller
from django.urls import reverse
from django.utils import timezone
from icalendar import Calendar
from playwright.sync_api import expect

from outreach.post import sending
from outreach.workshops import due
from outreach.workshops.models import Booking, Workshop
from tests.browser.conftest import Look
from tests.post.conftest import Mailbox, free_port
from tests.workshops.sign_ups import make_public_workshop

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

WORDS = {
    "en": {
        "sign_up": "Sign up",
        "standby": "Sign up for standby",
        "signed_up": "You are signed up",
        "waits": "You are on standby",
        "give_back": "Give the places back",
        "gone": "You have no places there any more",
        "yes": "Yes, we come",
        "said_yes": "You said yes",
        "offered": "There is room for you",
        "soon": "Soon: Home composting class",
    },
    "es": {
        "sign_up": "Inscribirse",
        "standby": "Anotarse en la lista de espera",
        "signed_up": "Su inscripción está hecha",
        "waits": "Está en la lista de espera",
        "give_back": "Devolver los lugares",
        "gone": "Ya no tiene lugares ahí",
        "yes": "Sí, vamos",
        "said_yes": "Dijo que sí",
        "offered": "Hay lugar para usted",
        "soon": "Ya pronto: Clase de compostaje en casa",
    },
}


@pytest.fixture
def mailbox(settings, live_server) -> Iterator[Mailbox]:
    """A mail server on loopback; links in mails lead to the server under test."""
    box = Mailbox(port=free_port())
    server = Controller(box, hostname="127.0.0.1", port=box.port)
    server.start()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", box.port
    settings.PUBLIC_URL = live_server.url
    yield box
    server.stop()


@pytest.fixture(params=["en", "es"])
def phone(request, chromium, live_server) -> Iterator[Look]:
    context = chromium.new_context(viewport={"width": 360, "height": 760}, locale=f"{request.param}-US")
    seen = Look(page=context.new_page(), base=live_server.url)
    seen.words = WORDS[request.param]
    seen.language = request.param
    seen.page.on("console", lambda said: said.type == "error" and seen.complaints.append(said.text))
    yield seen
    context.close()


def look_well(phone):
    assert phone.cut_off() == []
    assert phone.serious_barriers() == []
    assert phone.complaints == []


def sign_up(phone, workshop, name, street):
    """From the list to the page of the booking; answers its address."""
    page = phone.open(reverse("public_workshops"))
    page.locator(f"a[href*='/sign-up/{workshop.pk}/']").first.click()
    look_well(phone)
    page.locator("main a.button").first.click()
    page.locator("[name=full_name]").fill(name)
    page.locator("[name=street]").fill(street)
    page.locator("[name=city]").fill("Quillby")
    page.locator("[name=zip_code]").fill("00071")
    page.locator("[name=email]").fill(f"{name.split()[0].lower()}@example.org")
    look_well(phone)
    page.locator("main form button").first.click()
    return page.url


def mails_to(mailbox, name):
    sending.send_due()
    return [mail for mail in mailbox.received if name in mail["To"]]


def text_of(mail):
    return mail.get_body(("plain",)).get_content()


def test_sign_up_standby_offer_give_back_and_reminder(phone, mailbox):
    words, day = phone.words, timezone.localdate() + datetime.timedelta(days=9)
    workshop = make_public_workshop(seats=1, held_on=day, bins_planned=1)
    page = phone.page

    adas = sign_up(phone, workshop, "Ada Holm", "5 Reed Street")
    expect(page.locator("main")).to_contain_text(words["signed_up"])
    look_well(phone)
    [confirmation] = mails_to(mailbox, "ada")
    assert "/sign-up/mine/" in text_of(confirmation)
    sign_up(phone, workshop, "Ben Ito", "7 Fern Road")
    expect(page.locator("main")).to_contain_text(words["waits"])

    page.goto(adas)
    page.get_by_role("button", name=words["give_back"]).click()
    expect(page.locator("main")).to_contain_text(words["gone"])
    [offer] = [mail for mail in mails_to(mailbox, "ben") if words["offered"] in mail["Subject"]]
    page.goto(re.search(r"http\S+/sign-up/offer/\S+", text_of(offer))[0])
    look_well(phone)
    page.get_by_role("button", name=words["yes"]).click()
    expect(page.locator("main")).to_contain_text(words["said_yes"])
    look_well(phone)

    due.settle_due(Workshop.objects.get().starts_at - datetime.timedelta(days=1))
    sending.send_due(clock=lambda: Workshop.objects.get().starts_at - datetime.timedelta(hours=23))
    reminders = [mail["To"] for mail in mailbox.received if mail["Subject"].startswith(words["soon"])]
    assert len(reminders) == 1
    assert "ben@example.org" in reminders[0]
    assert Booking.objects.get(typed_name="Ben Ito").language == phone.language


def test_the_calendar_file_of_a_workshop_opens(phone):
    day = timezone.localdate() + datetime.timedelta(days=9)
    workshop = make_public_workshop(held_on=day)

    answer = phone.page.request.get(phone.base + reverse("workshop_calendar", args=[workshop.pk]))

    [event] = Calendar.from_ical(answer.body()).walk("VEVENT")
    assert event.decoded("dtstart") == workshop.starts_at
    assert "Orchard House" in event["location"]


def test_the_form_works_without_script_and_says_what_is_missing(phone, chromium, live_server):
    day = timezone.localdate() + datetime.timedelta(days=9)
    workshop = make_public_workshop(held_on=day)
    context = chromium.new_context(java_script_enabled=False, locale=f"{phone.language}-US")
    page = context.new_page()

    page.goto(live_server.url + reverse("sign_up", args=[workshop.pk]))
    page.locator("[name=full_name]").fill("Ada Holm")
    page.locator("main form button").first.click()

    assert page.locator(".problem").count() >= 4
    expect(page.locator("[name=full_name]")).to_have_value("Ada Holm")
    context.close()
