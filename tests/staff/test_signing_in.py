"""Signing in and out: who may, for how long, and how often one may try."""

import datetime

import pytest
from django.contrib.auth.hashers import make_password
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from outreach.site import settings as as_written
from outreach.staff.roles import Role
from tests.factories.staff import make_member

PASSWORD = "seven-leaves-falling"


@pytest.fixture
def member(db):
    return make_member(username="rosa", password=PASSWORD)


def try_to_sign_in(client, username="rosa", password=PASSWORD):
    return client.post(reverse("sign_in"), {"username": username, "password": password})


def is_in(client):
    return client.get(reverse("season")).status_code == 200


def test_a_person_signs_in_and_out(client, member):
    answer = try_to_sign_in(client)

    assert answer.url == reverse("season")
    assert is_in(client)
    assert client.post(reverse("sign_out")).url == reverse("sign_in")
    assert not is_in(client)


def test_a_link_does_not_sign_out(client, member):
    try_to_sign_in(client)

    assert client.get(reverse("sign_out")).status_code == 405
    assert is_in(client)


def test_the_sign_in_name_is_one_however_it_is_typed(client, member):
    try_to_sign_in(client, username="  Rosa ")

    assert is_in(client)


def test_passwords_are_kept_by_argon2(settings):
    settings.PASSWORD_HASHERS = as_written.PASSWORD_HASHERS

    assert make_password(PASSWORD).startswith("argon2")


def test_a_page_sends_strangers_to_sign_in_and_back(client, member):
    wanted = reverse("gallery")

    answer = client.get(wanted)

    assert answer.url == f"{reverse('sign_in')}?next={wanted}"


def test_a_fragment_moves_the_whole_page_to_sign_in(client, db):
    answer = client.get(reverse("season"), headers={"HX-Request": "true"})

    assert answer.status_code == 204
    assert answer["HX-Redirect"].startswith(reverse("sign_in"))


@pytest.mark.parametrize(
    "wrong",
    [{"password": "not-the-password"}, {"username": "nobody-here"}],
    ids=["wrong password", "unknown name"],
)
def test_every_way_of_being_wrong_has_one_sentence(client, member, wrong):
    answer = try_to_sign_in(client, **wrong)

    assert "do not go together, or access has ended" in answer.content.decode()
    assert not is_in(client)


def test_whoever_was_deactivated_cannot_sign_in(client, member):
    member.deactivated_at, member.deactivated_by = timezone.now(), make_member()
    member.save()

    try_to_sign_in(client)

    assert not is_in(client)


def test_whoever_is_deactivated_in_mid_session_is_out_at_the_next_request(client, member):
    try_to_sign_in(client)
    assert is_in(client)

    member.deactivated_at, member.deactivated_by = timezone.now(), make_member()
    member.save()

    assert not is_in(client)


def test_an_auditors_access_ends_with_its_day_even_in_mid_session(client, db):
    today = timezone.localdate()
    auditor = make_member(username="ida", password=PASSWORD, role=Role.AUDITOR, ends_on=today)
    try_to_sign_in(client, username="ida")
    assert is_in(client)

    auditor.ends_on = today - datetime.timedelta(days=1)
    auditor.save()

    assert not is_in(client)
    try_to_sign_in(client, username="ida")
    assert not is_in(client)


def _on_the_clock(instant):
    return f"{instant.hour % 12 or 12}:{instant:%M} {'a.m.' if instant.hour < 12 else 'p.m.'}"


def test_after_eight_wrong_passwords_even_the_right_one_waits(client, member, settings):
    for _ in range(settings.AXES_FAILURE_LIMIT):
        answer = try_to_sign_in(client, password="wrong")

    page = answer.content.decode()
    until = timezone.localtime() + datetime.timedelta(minutes=15)
    earlier = until - datetime.timedelta(minutes=1)
    assert answer.status_code == 429
    assert "Loambook" in page
    assert any(f"again from {_on_the_clock(one)}" in page for one in (until, earlier))
    assert try_to_sign_in(client).status_code == 429
    assert try_to_sign_in(client, username="ROSA").status_code == 429
    assert not is_in(client)


def test_trying_on_does_not_move_the_end_of_the_wait(client, member, settings):
    from axes.models import AccessAttempt

    for _ in range(settings.AXES_FAILURE_LIMIT):
        try_to_sign_in(client, password="wrong")
    long_ago = timezone.now() - datetime.timedelta(minutes=14, seconds=58)
    AccessAttempt.objects.update(attempt_time=long_ago)

    try_to_sign_in(client, password="wrong")

    assert AccessAttempt.objects.get().attempt_time == long_ago


def test_the_wait_is_over_after_a_quarter_of_an_hour(client, member, settings):
    from axes.models import AccessAttempt

    for _ in range(settings.AXES_FAILURE_LIMIT):
        try_to_sign_in(client, password="wrong")
    AccessAttempt.objects.update(attempt_time=timezone.now() - datetime.timedelta(minutes=16))

    try_to_sign_in(client)

    assert is_in(client)


def test_attempts_keep_no_password(client, member):
    from axes.models import AccessAttempt

    try_to_sign_in(client, password="my-other-password")

    kept = AccessAttempt.objects.values().get()
    assert "my-other-password" not in str(kept)


def test_one_changes_ones_own_password_and_stays_signed_in(client, member):
    elsewhere = Client()
    try_to_sign_in(client)
    try_to_sign_in(elsewhere)

    new = "eleven-worms-dancing"
    client.post(
        reverse("own_password"), {"old_password": PASSWORD, "new_password1": new, "new_password2": new}
    )

    assert is_in(client)
    assert not is_in(elsewhere)
    try_to_sign_in(elsewhere, password=new)
    assert is_in(elsewhere)


def test_a_short_password_is_refused_in_words(client, member):
    try_to_sign_in(client)

    answer = client.post(
        reverse("own_password"),
        {"old_password": PASSWORD, "new_password1": "short", "new_password2": "short"},
    )

    assert "at least 12 characters" in answer.content.decode()
    member.refresh_from_db()
    assert member.check_password(PASSWORD)


def test_a_one_time_password_opens_nothing_but_the_choice_of_ones_own(client, member):
    member.password_is_one_time = True
    member.save()
    try_to_sign_in(client)

    assert client.get(reverse("season")).url == reverse("own_password")
    assert client.get(reverse("own_password")).status_code == 200
    new = "eleven-worms-dancing"
    client.post(
        reverse("own_password"), {"old_password": PASSWORD, "new_password1": new, "new_password2": new}
    )
    assert is_in(client)
