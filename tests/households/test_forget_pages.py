"""The pages on which someone is forgotten or held, the list of it, and the command."""

from datetime import timedelta
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from outreach.households.forgotten_models import ForgettingHold, Forgotten
from outreach.staff.roles import Role
from tests.factories.households import make_participant


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path


@pytest.fixture
def ada(db):
    return make_participant(full_name="Ada Holm", email="ada@example.org")


@pytest.mark.parametrize("page", ["participant_forget", "household_forget"])
def test_nobody_is_forgotten_without_saying_so_plainly(as_coordinator, ada, page):
    number = ada.pk if page == "participant_forget" else ada.household_id
    address = reverse(page, args=[number])
    assert "Ada Holm" in as_coordinator.get(address).content.decode()

    as_coordinator.post(address, {})
    assert not Forgotten.objects.exists()

    answer = as_coordinator.post(address, {"understood": "on"})

    ada.refresh_from_db()
    assert answer.url == reverse("forgotten")
    assert ada.email == ""
    told = as_coordinator.get(answer.url).content.decode()
    assert "they asked for it" in told
    assert "Ada" not in told


@pytest.mark.parametrize("role", [Role.DOOR_CREW, Role.CITY_ANALYST, Role.AUDITOR])
def test_only_the_office_forgets_and_holds(as_role, ada, role):
    client = as_role(role)

    for page, number in (("participant_forget", ada.pk), ("household_hold", ada.household_id)):
        assert client.post(reverse(page, args=[number]), {"understood": "on"}).status_code == 403
    ada.refresh_from_db()
    assert ada.full_name == "Ada Holm"


@pytest.mark.parametrize(("role", "status"), [(Role.AUDITOR, 200), (Role.DOOR_CREW, 403)])
def test_an_auditor_reads_what_was_destroyed(as_role, db, role, status):
    assert as_role(role).get(reverse("forgotten")).status_code == status


def test_a_hold_stands_on_the_page_until_it_is_released(as_coordinator, ada):
    until = timezone.localdate() + timedelta(days=30)
    page = reverse("household_forget", args=[ada.household_id])
    as_coordinator.post(
        reverse("household_hold", args=[ada.household_id]), {"reason": "Audit of a grant", "until_on": until}
    )

    assert "Audit of a grant" in as_coordinator.get(page).content.decode()
    refused = as_coordinator.post(page, {"understood": "on"}).content.decode()
    assert f"until {until.day} " in refused
    as_coordinator.post(reverse("hold_release", args=[ForgettingHold.objects.get().pk]))
    as_coordinator.post(page, {"understood": "on"})

    ada.refresh_from_db()
    assert ada.full_name == f"forgotten {ada.pk}"


def test_a_hold_ends_on_a_day_still_to_come(as_coordinator, ada):
    yesterday = timezone.localdate() - timedelta(days=1)

    answer = as_coordinator.post(
        reverse("household_hold", args=[ada.household_id]), {"reason": "Audit", "until_on": yesterday}
    )

    assert "Choose a day that is still to come" in answer.content.decode()
    assert not ForgettingHold.objects.exists()


def test_the_command_asks_to_be_told_twice_and_says_what_it_changed(ada):
    with pytest.raises(CommandError, match="Say --yes"):
        call_command("forget", person=ada.pk)
    told = StringIO()

    call_command("forget", person=ada.pk, yes=True, stdout=told)

    assert "households.Participant: 1" in told.getvalue()
    ada.refresh_from_db()
    assert ada.full_name == f"forgotten {ada.pk}"


@pytest.mark.django_db
def test_the_command_says_when_there_is_no_such_number():
    with pytest.raises(CommandError, match="Nobody has that number"):
        call_command("forget", household=999_999, yes=True)
