"""People are admitted, corrected, deactivated and let back in; never deleted."""

import threading
from io import StringIO

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import IntegrityError, connection, transaction
from django.db.models import ProtectedError
from django.urls import reverse
from django.utils import timezone

from outreach.staff import people
from outreach.staff.models import StaffMember
from outreach.staff.roles import Role
from tests.factories.staff import make_member


@pytest.fixture
def administrator(db):
    return make_member(role=Role.ADMINISTRATOR)


def test_whoever_is_admitted_signs_in_with_the_one_time_password(client, administrator):
    member, password = people.admit(username="Bo", full_name="Bo Fern", role=Role.DOOR_CREW, by=administrator)

    client.post(reverse("sign_in"), {"username": "bo", "password": password})

    assert client.get(reverse("season")).url == reverse("own_password")
    assert member.password_is_one_time


def test_one_time_passwords_differ_and_are_easily_read_out():
    made = {people.make_one_time_password() for _ in range(200)}

    assert len(made) == 200
    assert all(len(word) == 19 and not set(word) & set("l1o0i") for word in made)


def test_an_auditor_without_a_last_day_is_refused(administrator):
    with pytest.raises(ValidationError, match="access ends on a set day"):
        people.admit(username="ida", full_name="Ida", role=Role.AUDITOR, by=administrator)

    with pytest.raises(IntegrityError), transaction.atomic():
        StaffMember.objects.create(username="ida", full_name="Ida", role=Role.AUDITOR)


def test_an_unknown_role_is_refused_by_the_database(administrator):
    with pytest.raises(IntegrityError), transaction.atomic():
        StaffMember.objects.create(username="ida", full_name="Ida", role="owner")


def test_a_deactivation_says_who_did_it(administrator):
    with pytest.raises(IntegrityError), transaction.atomic():
        StaffMember.objects.filter(pk=administrator.pk).update(deactivated_at=timezone.now())


def test_the_last_administrator_cannot_be_deactivated(administrator):
    with pytest.raises(people.LastAdministrator, match="Make another person an administrator first"):
        people.deactivate(member=administrator, by=administrator, at=timezone.now())

    administrator.refresh_from_db()
    assert administrator.is_active


@pytest.mark.parametrize(
    "change", [{"role": Role.COORDINATOR}, {"ends_on": timezone.localdate()}], ids=["role", "last day"]
)
def test_the_last_administrator_keeps_role_and_access(administrator, change):
    make_member(role=Role.ADMINISTRATOR, ends_on=timezone.localdate())
    for name, value in change.items():
        setattr(administrator, name, value)

    with pytest.raises(people.LastAdministrator):
        people.correct(member=administrator, by=administrator)

    assert StaffMember.objects.standing_administrators().get() == administrator


def test_one_of_two_administrators_can_go(administrator):
    other = make_member(role=Role.ADMINISTRATOR)

    people.deactivate(member=administrator, by=other, at=timezone.now())

    assert list(StaffMember.objects.standing_administrators()) == [other]


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_two_who_deactivate_each_other_at_once_leave_one():
    first, second = make_member(role=Role.ADMINISTRATOR), make_member(role=Role.ADMINISTRATOR)
    gate = threading.Barrier(2)
    refused = []

    def deactivate(member, by):
        try:
            gate.wait()
            people.deactivate(member=member, by=by, at=timezone.now())
        except people.LastAdministrator as refusal:
            refused.append(refusal)
        finally:
            connection.close()

    threads = [threading.Thread(target=deactivate, args=pair) for pair in ((first, second), (second, first))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert len(refused) == 1
    assert StaffMember.objects.standing_administrators().count() == 1


def test_nobody_is_deleted(administrator):
    with pytest.raises(ProtectedError, match="deactivate them"):
        administrator.delete()
    with pytest.raises(ProtectedError, match="deactivate them"):
        StaffMember.objects.all().delete()

    assert StaffMember.objects.count() == 1


def test_whoever_comes_back_gets_a_new_password(administrator):
    member = make_member(password="the-old-password")
    people.deactivate(member=member, by=administrator, at=timezone.now())

    member, password = people.reactivate(member=member, by=administrator)

    assert member.is_active
    assert member.check_password(password)
    assert not member.check_password("the-old-password")


def test_a_new_password_ends_a_wait(client, administrator, settings):
    member = make_member(username="rosa", password="the-old-password")
    for _ in range(settings.AXES_FAILURE_LIMIT):
        client.post(reverse("sign_in"), {"username": "rosa", "password": "wrong"})

    password = people.give_password(member=member, by=administrator)
    answer = client.post(reverse("sign_in"), {"username": "rosa", "password": password})

    assert answer.status_code == 302


def test_an_administrator_is_made_from_the_machine_when_all_are_locked_out(client, db, settings, capsys):
    make_member(username="ana", role=Role.ADMINISTRATOR, password="the-old-password")
    for name in ("ana", "ben"):
        for _ in range(settings.AXES_FAILURE_LIMIT):
            client.post(reverse("sign_in"), {"username": name, "password": "wrong"})

    call_command("new_administrator", username="ben", name="Ben Moss")

    password = capsys.readouterr().out.split("One-time password: ")[1].split()[0]
    client.post(reverse("sign_in"), {"username": "ben", "password": password})
    assert client.get(reverse("season")).url == reverse("own_password")
    assert StaffMember.objects.get(username="ben").role == Role.ADMINISTRATOR


def test_the_command_refuses_a_taken_name_in_words(administrator):
    with pytest.raises(CommandError, match=r"Sign-in name.*already"):
        call_command("new_administrator", username=administrator.username, name="Another")


def test_the_command_asks_only_where_somebody_is_there(db, monkeypatch):
    monkeypatch.setattr("sys.stdin", StringIO())

    with pytest.raises(CommandError, match="Give --name"):
        call_command("new_administrator", username="ben")
