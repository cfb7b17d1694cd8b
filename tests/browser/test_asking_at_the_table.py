"""Answers that come another way than by mail: at a later workshop's table."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from outreach.followup.models import Answer
from outreach.staff.roles import Role
from tests.factories.bins import make_handout
from tests.factories.followup import make_invitation, make_wave
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


@pytest.fixture
def ada():
    """Asked today in the wave of three months; a household that reads Spanish."""
    today = timezone.localdate()
    home = make_household(street="5 Reed Street", zip_code="00431", language="es")
    person = make_participant(household=home, full_name="Ada Holm", language="es")
    make_handout(household=home, handed_on=today - datetime.timedelta(days=100))
    make_invitation(
        household=home,
        wave=make_wave(months_after=3),
        opened_at=timezone.now(),
        opened_on=today,
        channel="call",
    )
    return person


@pytest.mark.parametrize("width", [360, 1280])
def test_at_a_later_workshop_they_answer_on_the_tablet(look_as, ada, width):
    workshop = make_workshop(held_on=timezone.localdate())
    make_registration(
        workshop=workshop,
        participant=ada,
        household=ada.household,
        counted_under=ada.household,
        state="attended",
        arrived_at=timezone.now(),
    )
    window = look_as(Role.COORDINATOR, width=width)
    page = window.open(reverse("workshop", args=[workshop.pk]))
    assert window.cut_off() == []

    page.get_by_role("link", name="Let them answer here").click()
    expect(page.locator("h1")).to_have_text("¿Cómo va su compostera?")
    page.get_by_label("sí", exact=True).check()
    page.get_by_role("button", name="Guardar y seguir").click()
    expect(page.locator("h1")).to_contain_text("Un poco más")
    page.get_by_role("button", name="Enviar").click()
    expect(page.get_by_role("link", name="Corregir algo")).to_be_visible()

    assert Answer.objects.current().get().channel == "door"
    page = window.open(reverse("asked"))
    expect(page.get_by_role("rowheader", name="at a workshop")).to_be_visible()
