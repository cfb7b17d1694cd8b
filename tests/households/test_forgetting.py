"""Forgetting: no personal field without a handler, nothing left of a person, everything counted as before."""

import json
from datetime import date, timedelta

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from outreach.bins.models import Stay
from outreach.filings import verifying
from outreach.filings.models import Filing
from outreach.followup.models import Answer
from outreach.households import forgetting, forgotten_list
from outreach.households.forgotten_models import ForgettingHold, Forgotten
from outreach.households.models import Household, Participant
from outreach.staff import guard, privacy
from tests.browser.records import PEOPLE, SAID_IN_PRIVATE, STREETS, make_everything
from tests.factories.households import make_household, make_participant

OURS = [model for model in apps.get_models() if model.__module__.startswith("outreach.")]
ASKED = Forgotten.Schedule.ASKED
NAME = "Philippa Ravensworth"


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "uploads"


def everything_stored():
    """Every text in every table, and every file, in one string."""
    told = []
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f'SELECT * FROM "{table}"')
            told += [f"{table}: {row}" for row in cursor.fetchall()]
    return "\n".join(told)


def lines_with(text, words):
    return [line for line in text.splitlines() for word in words if word.casefold() in line.casefold()]


def stays():
    return sorted(Stay.objects.values_list("pk", "from_day", "until_day", "family"))


def forget(**whom):
    return forgetting.forget(**whom, why=ASKED, by=None, at=timezone.now())


@pytest.mark.parametrize("model", OURS, ids=lambda model: model._meta.label)
def test_every_personal_field_has_a_handler(model):
    personal = {f"{model._meta.label}.{name}" for name in privacy.classes_of(model).personal}

    assert personal <= forgetting.covered()


def test_handlers_answer_for_personal_fields_only():
    personal = {f"{m._meta.label}.{name}" for m in OURS for name in privacy.classes_of(m).personal}

    assert forgetting.covered() <= personal


def test_nothing_is_left_of_a_household_that_was_on_record_everywhere(db, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        make_everything()
    person = Participant.objects.get(full_name=NAME)
    words = [
        NAME,
        "Ravensworth",
        *(PEOPLE[NAME][key] for key in ("email", "phone")),
        STREETS[0],
        "5555550101",
    ]
    before = Answer.objects.count(), stays()
    assert lines_with(everything_stored(), words)

    with django_capture_on_commit_callbacks(execute=True):
        forget(household=person.household)

    assert lines_with(everything_stored(), words) == []
    after = Answer.objects.count(), stays()
    assert after == before
    assert (
        [verifying.verify(filing) for filing in Filing.objects.all()] == [[]] * Filing.objects.count() != []
    )
    assert guard.look(databases=["default"]) == []
    assert SAID_IN_PRIVATE not in json.dumps(list(Participant.objects.filter(pk=person.pk).values("note")))


@pytest.mark.django_db
def test_what_others_said_stays():
    kept = make_participant(full_name="Ada Holm", note="likes mint")
    gone = make_participant(full_name="Ben Ito", household=kept.household)

    forget(participant=gone)

    kept.refresh_from_db()
    assert (kept.full_name, kept.note) == ("Ada Holm", "likes mint")
    kept.household.refresh_from_db()
    assert "forgotten" not in kept.household.street


@pytest.mark.django_db
def test_the_address_goes_with_the_last_person():
    only = make_participant(full_name="Ada Holm")

    act = forget(participant=only)

    only.household.refresh_from_db()
    assert only.household.street == f"forgotten {only.household_id}"
    assert act.homes == [only.household_id]


@pytest.mark.django_db
def test_a_hold_refuses_and_says_until_when(coordinator):
    home = make_household()
    person = make_participant(household=home)
    until = timezone.localdate() + timedelta(days=90)
    ForgettingHold.objects.create(
        household=home,
        reason="An audit of this grant",
        until_on=until,
        set_at=timezone.now(),
        set_by=coordinator,
    )

    with pytest.raises(ValidationError, match=rf"until {until.day} .* {until.year}: An audit of this grant"):
        forget(participant=person)

    person.refresh_from_db()
    assert "forgotten" not in person.full_name
    assert not Forgotten.objects.exists()


@pytest.mark.django_db
def test_a_hold_that_is_over_or_released_no_longer_refuses(coordinator):
    now = timezone.now()
    person = make_participant()
    held = {"household": person.household, "reason": "Audit", "set_at": now, "set_by": coordinator}
    ForgettingHold.objects.create(**held, until_on=date(2020, 1, 1))
    ForgettingHold.objects.create(
        **held, until_on=timezone.localdate() + timedelta(days=9), released_at=now, released_by=coordinator
    )

    assert forget(participant=person).people == [person.pk]


@pytest.mark.django_db
def test_the_list_of_what_was_destroyed_is_never_changed():
    act = forget(participant=make_participant(full_name="Ada Holm"))

    with pytest.raises(IntegrityError, match="listed for good"), transaction.atomic():
        act.delete()
    assert "Ada" not in str(Forgotten.objects.values().get())


@pytest.mark.django_db
def test_a_restore_forgets_again(django_capture_on_commit_callbacks):
    person = make_participant(full_name="Ada Holm", email="ada@example.org")
    with transaction.atomic(), django_capture_on_commit_callbacks(execute=True):
        forget(participant=person)
    with guard.lifted():
        Forgotten.objects.all().delete()
    Participant.objects.filter(pk=person.pk).update(full_name="Ada Holm", email="ada@example.org")
    Household.objects.filter(pk=person.household_id).update(street="5 Reed St")

    repeated = forgotten_list.repeat_all(timezone.now())

    person.refresh_from_db()
    assert (repeated, person.full_name, person.email) == (1, f"forgotten {person.pk}", "")
    assert Forgotten.objects.get().is_repeated
    assert forgotten_list.repeat_all(timezone.now()) == 0


@pytest.mark.django_db
def test_a_number_that_was_forgotten_is_not_given_to_anyone_else(django_capture_on_commit_callbacks):
    last = make_participant()
    forgotten_list.path().write_text(
        json.dumps(
            {
                "key": "8f6d9f0c-3f0e-4c1c-9c70-3d6f6a6a1a11",
                "people": [last.pk + 50],
                "homes": [],
                "schedule": "asked",
                "at": "2026-01-05T10:00:00+00:00",
            }
        )
        + "\n"
    )

    forgotten_list.repeat_all(timezone.now())

    assert make_participant().pk > last.pk + 50
