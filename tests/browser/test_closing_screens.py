"""Records requests and closing the programme as the administrator sees them, and what residents then find."""

import os
import uuid

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from outreach.disclosure import making
from outreach.disclosure.models import Handover, RecordsRequest
from outreach.ending import destroying, missing
from outreach.ending.models import EndStep
from outreach.staff.roles import Role
from tests.ending.steps import act, say_done
from tests.factories.bins import make_handout
from tests.factories.households import make_participant
from tests.factories.staff import make_member

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "uploads"


def look_well(window, name):
    if folder := os.environ.get("LOAMBOOK_PICTURES"):
        window.page.screenshot(path=f"{folder}/{name}.png", full_page=True)
    assert window.cut_off() == []
    assert window.serious_barriers() == []
    assert window.complaints == []


@pytest.fixture
def request_answered():
    """A request for handouts, one of them with free text; made and handed over."""
    person = make_participant(full_name="Maximiliana de los Ángeles Fernández-Montenegro")
    make_handout(household=person.household, participant=person, note="The lid was dented when it came. " * 6)
    who = {"by": make_member(), "at": timezone.now()}
    request = RecordsRequest(
        reference="PRR 2026-014",
        requester="Quillby Gazette",
        asked_on=timezone.localdate(),
        asked_for="All records of bins handed out in 2025, with the reasons for second bins",
        kinds=["handouts", "exceptions"],
        first_day_on="2025-01-01",
        last_day_on="2025-12-31",
    )
    request = RecordsRequest.objects.get(pk=making.take_down(request=request, **who).pk)
    made = making.make(request=request, key=uuid.uuid4(), watch=lambda *_: None, **who)
    handover = Handover(
        disclosure=made, to_whom="Quillby Gazette", how="e_mail", handed_over_on=timezone.localdate()
    )
    making.hand_over(handover=handover, **who)
    return request


@pytest.mark.parametrize("width", [1280, 360])
def test_answering_a_request(look_as, request_answered, width):
    window = look_as(Role.COORDINATOR, width=width)
    pages = {
        "list": reverse("records_requests"),
        "request": request_answered.get_absolute_url(),
        "words": reverse("records_request_words", args=[request_answered.pk, "handouts"]),
        "withheld": reverse("withholdings"),
        "add": reverse("records_request_add"),
    }

    for name, address in pages.items():
        window.open(address)
        expect(window.page.locator("h1")).to_be_visible()
        look_well(window, f"disclosure-{name}-{width}")


@pytest.mark.parametrize("width", [1280, 360])
def test_closing_step_by_step(look_as, width):
    make_participant(full_name="Ada Holm")
    window = look_as(Role.ADMINISTRATOR, width=width)

    window.open(reverse("programme_end"))
    look_well(window, f"end-begins-{width}")

    window.page.locator(f"#{EndStep.Step.SIGN_UP}").get_by_role("link", name="Do this step").click()
    expect(window.page.get_by_role("button", name="Do it")).to_be_visible()
    look_well(window, f"end-step-{width}")
    window.page.get_by_label("I mean to do this step").check()
    window.page.get_by_role("button", name="Do it").click()
    expect(window.page.get_by_text("Done: Sign-up, waves and questions are closed.")).to_be_visible()

    say_done(*[one for one in missing.BEFORE_DESTROYING if one != EndStep.Step.SIGN_UP])
    window.open(reverse("programme_end_step", args=["contact_data"]))
    look_well(window, f"end-destroy-{width}")

    destroying.destroy(act=act(), watch=lambda *_: None)
    window.open(reverse("programme_end"))
    expect(window.page.get_by_role("link", name="What was destroyed")).to_be_visible()
    look_well(window, f"end-done-{width}")
    window.open(reverse("end_certificate"))
    expect(window.page.get_by_role("heading", name="Certificate of destruction")).to_be_visible()
    look_well(window, f"end-certificate-{width}")


@pytest.mark.parametrize("language", ["en", "es"])
def test_what_residents_find_at_an_old_link(look_as, language):
    say_done(EndStep.Step.SIGN_UP)
    window = look_as(Role.ADMINISTRATOR, width=360)

    window.open(f"{reverse('public_workshops')}?language={language}")

    words = {"en": "The programme has ended", "es": "El programa ha terminado"}[language]
    expect(window.page.get_by_role("heading", name=words)).to_be_visible()
    look_well(window, f"end-old-link-{language}")
