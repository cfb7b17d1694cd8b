"""Set-up's page of people, as an administrator uses it."""

import pytest
from django.test import Client
from django.urls import reverse

from outreach.staff.models import AuditEntry, StaffMember
from outreach.staff.roles import Role
from tests.factories.staff import make_member


@pytest.fixture
def administrator(db):
    return make_member(role=Role.ADMINISTRATOR, full_name="Ana Quill")


@pytest.fixture
def as_administrator(administrator):
    client = Client()
    client.force_login(administrator, backend="outreach.staff.signing_in.CurrentStaffBackend")
    return client


def test_the_list_shows_who_is_in_and_who_left(as_administrator, administrator):
    left = make_member(full_name="Otto Gone")
    as_administrator.post(reverse("staff_deactivate", args=[left.pk]), {"reason": "moved away"})

    page = as_administrator.get(reverse("staff_list")).content.decode()

    assert "Ana Quill" in page
    assert page.index("Otto Gone") < page.index("deactivated")


def test_the_password_of_a_new_person_is_shown_once_and_not_kept(as_administrator):
    answer = as_administrator.post(
        reverse("staff_add"),
        {"full_name": "Bo Fern", "username": " Bo ", "role": "door_crew", "ends_on": ""},
    )

    member = StaffMember.objects.get(username="bo")
    shown = answer.context["password"]
    assert shown in answer.content.decode()
    assert answer["Cache-Control"] == "no-store"
    assert member.check_password(shown)


def test_a_form_that_cannot_stand_says_why_and_saves_nothing(as_administrator, administrator):
    answer = as_administrator.post(
        reverse("staff_add"),
        {"full_name": "", "username": administrator.username, "role": "auditor", "ends_on": ""},
    )

    page = answer.content.decode()
    assert "already" in page
    assert StaffMember.objects.count() == 1


def test_an_auditor_without_a_last_day_is_told_so_on_the_form(as_administrator):
    answer = as_administrator.post(
        reverse("staff_add"),
        {"full_name": "Ida Rule", "username": "ida", "role": "auditor", "ends_on": ""},
    )

    assert "access ends on a set day" in answer.content.decode()


def test_a_correction_keeps_who_what_and_why_without_the_name(as_administrator, administrator):
    member = make_member(full_name="Otto Wrong", role=Role.DOOR_CREW)
    as_administrator.post(
        reverse("staff_edit", args=[member.pk]),
        {
            "full_name": "Otto Right",
            "username": member.username,
            "role": "coordinator",
            "ends_on": "",
            "reason": "new duties",
        },
    )

    member.refresh_from_db()
    page = as_administrator.get(reverse("staff_edit", args=[member.pk])).content.decode()
    assert member.full_name == "Otto Right"
    assert "new duties" in page
    assert "door crew → coordinator" in page
    assert "Otto Wrong" not in str(list(AuditEntry.objects.values()))
    assert AuditEntry.objects.get(reason="new duties").actor == administrator


@pytest.mark.parametrize("page", ["staff_edit", "staff_deactivate"])
def test_the_last_administrator_reads_why_nothing_happened(as_administrator, administrator, page):
    answer = as_administrator.post(
        reverse(page, args=[administrator.pk]),
        {"full_name": "Ana Quill", "username": administrator.username, "role": "coordinator"},
    )

    administrator.refresh_from_db()
    assert "This is the last administrator" in answer.content.decode()
    assert administrator.is_active
    assert administrator.role == Role.ADMINISTRATOR


def test_letting_someone_back_in_and_new_passwords_show_one(as_administrator):
    member = make_member()
    as_administrator.post(reverse("staff_deactivate", args=[member.pk]))

    back = as_administrator.post(reverse("staff_reactivate", args=[member.pk]))
    again = as_administrator.post(reverse("staff_new_password", args=[member.pk]))

    member.refresh_from_db()
    assert member.is_active
    assert back.context["password"] != again.context["password"]
    assert member.check_password(again.context["password"])


def test_looking_at_a_page_changes_nothing(as_administrator):
    member = make_member(password="as-it-was-before")

    for page in ("staff_edit", "staff_deactivate", "staff_reactivate", "staff_new_password"):
        assert as_administrator.get(reverse(page, args=[member.pk])).status_code == 200

    member.refresh_from_db()
    assert member.is_active
    assert member.check_password("as-it-was-before")
