"""Contact data goes once its time is over, and not before; what was counted stays."""

from datetime import UTC, date, datetime, timedelta
from io import StringIO

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import IntegrityError, transaction
from django.utils import timezone

from outreach.households import forgetting, holding_back, last_contact, merging, months, retention
from outreach.households.forgotten_models import Forgotten
from outreach.households.models import Household
from outreach.households.retention_models import RetentionRun, RetentionSchedule
from tests.factories.bins import make_handout, make_stay
from tests.factories.coaching import make_help_request
from tests.factories.followup import make_answer
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member
from tests.factories.workshops import make_registration, make_workshop

pytestmark = pytest.mark.django_db

BEGAN = date(2020, 1, 15)
ENDED = date(2021, 3, 31)
NOW = datetime(2024, 3, 31, 20, tzinfo=UTC)


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path


@pytest.fixture(autouse=True)
def schedule():
    return keep_for(36)


def keep_for(after_use, in_use=None):
    return retention.set_schedule(
        months_after_use=after_use, months_in_use=in_use, by=make_member(), at=timezone.now()
    )


def home(**differences):
    """A household of one person, on record since long ago and without a word since."""
    household = make_household(began_on=BEGAN, **differences)
    make_participant(household=household, first_seen_on=BEGAN, email="ada@example.org")
    return household


def used_until(ended=ENDED, **differences):
    household = home(**differences)
    make_stay(
        household=household,
        from_day=BEGAN.toordinal(),
        until_day=ended.toordinal(),
        ended_because="returned",
    )
    return household


def goes(on):
    return set(retention.look(on).goes)


@pytest.mark.parametrize(
    ("day", "count", "later"),
    [
        (date(2021, 3, 31), 36, date(2024, 3, 31)),
        (date(2023, 8, 31), 6, date(2024, 2, 29)),
        (date(2024, 2, 29), 12, date(2025, 2, 28)),
        (date(2024, 12, 15), -12, date(2023, 12, 15)),
    ],
)
def test_months_end_on_the_same_day_or_the_last(day, count, later):
    assert months.later(day, count) == later


def test_it_goes_on_the_day_and_not_the_day_before():
    household = used_until(ENDED)

    assert goes(date(2024, 3, 30)) == set()
    assert goes(date(2024, 3, 31)) == {household.pk}


def test_names_and_address_go_and_counts_stay():
    household = used_until(ENDED)
    answer = make_answer(
        household=household, answered_on=date(2020, 9, 1), food_ml_per_week=4100, remarks="Ask for Ada"
    )

    run = retention.forget_due(at=NOW)

    household.refresh_from_db()
    answer.refresh_from_db()
    assert (run.forgotten, run.held, run.living_on) == (1, 0, 0)
    assert household.street == f"forgotten {household.pk}"
    assert household.participants.get().email == ""
    assert ("Ada" in answer.remarks, answer.food_ml_per_week) == (False, 4100)
    assert Forgotten.objects.get().schedule == "retention"


def test_run_twice_it_does_nothing_more():
    used_until(ENDED)

    retention.forget_due(at=NOW)
    again = retention.forget_due(at=NOW + timedelta(minutes=1))

    assert (again.forgotten, Forgotten.objects.count()) == (0, 1)


def test_a_run_that_was_broken_off_goes_on(monkeypatch):
    first, second = used_until(ENDED), used_until(ENDED)
    whole = forgetting.forget

    def breaks(**whom):
        if whom["household"].pk == second.pk:
            raise RuntimeError("the power went")
        return whole(**whom)

    monkeypatch.setattr(forgetting, "forget", breaks)
    with pytest.raises(RuntimeError):
        retention.forget_due(at=NOW)
    monkeypatch.undo()
    run = retention.forget_due(at=NOW)

    assert run.forgotten == 1
    assert sorted(act.homes[0] for act in Forgotten.objects.all()) == [first.pk, second.pk]


def asked_on(day, **differences):
    closed_at = datetime(day.year, day.month, day.day, 20, tzinfo=UTC)
    fields = {"household": None, "counted_under": None, "state": "closed", "outcome": "solved"}
    reach = {"written_name": "Ada Holm", "email": "ada@example.org", "own_words": "I am Ada of 5 Reed Street"}
    return make_help_request(
        **(fields | {"opened_at": closed_at, "closed_at": closed_at} | reach | differences)
    )


def test_contact_in_questions_that_nobody_could_place_goes_too():
    old, young = asked_on(date(2021, 3, 30)), asked_on(date(2021, 4, 2))
    unanswered = asked_on(date(2021, 3, 1), state="open", outcome="", closed_at=None)

    assert retention.look(date(2024, 3, 31)).of_no_household == 1
    run = retention.forget_due(at=NOW)

    for one in (old, young, unanswered):
        one.refresh_from_db()
    assert (run.of_no_household, run.forgotten) == (1, 0)
    assert "Ada" not in old.written_name + old.own_words
    assert "@" not in old.email
    assert young.email == unanswered.email == "ada@example.org"
    assert retention.forget_due(at=NOW).of_no_household == 0


HEARD_LATER = {
    "an answer": lambda home, on: make_answer(household=home, answered_on=on),
    "a workshop": lambda home, on: make_registration(
        participant=home.participants.get(), household=home, workshop=make_workshop(held_on=on)
    ),
    "a bin": lambda home, on: make_handout(household=home, handed_on=on, returned_on=on),
    "help": lambda home, on: make_help_request(
        household=home, state="advised", advised_on=on, opened_at=datetime(2020, 1, 2, tzinfo=UTC)
    ),
    "a move": lambda home, on: Household.objects.numbered([home.pk]).update(
        ended_on=on, bin_after_move="returned"
    ),
}


@pytest.mark.parametrize("sign", HEARD_LATER.values(), ids=HEARD_LATER)
def test_the_months_run_from_the_last_sign_of_them(sign):
    household = used_until(ENDED)
    sign(household, date(2022, 6, 10))

    assert last_contact.last_days([household.pk], date(2023, 1, 1))[household.pk] >= date(2022, 6, 10)
    assert goes(date(2025, 6, 9)) == set()


def test_a_request_for_help_that_is_open_keeps_them():
    household = used_until(ENDED)
    make_help_request(household=household, opened_at=datetime(2020, 2, 1, tzinfo=UTC))

    assert goes(date(2030, 1, 1)) == set()


def test_whose_bin_is_in_use_stays_unless_a_time_for_that_is_set():
    household = home()
    make_stay(household=household, from_day=BEGAN.toordinal())

    assert goes(date(2040, 1, 1)) == set()

    keep_for(36, in_use=60)
    assert goes(date(2025, 1, 14)) == set()
    assert goes(date(2025, 1, 15)) == {household.pk}


def test_a_sign_of_a_merged_record_counts_for_its_household(coordinator):
    kept, absorbed = used_until(ENDED), used_until(ENDED)
    make_answer(household=absorbed, answered_on=date(2023, 1, 1))
    merging.merge(kept=kept, absorbed=absorbed, reason="the same", by=coordinator, at=timezone.now())

    assert goes(date(2024, 4, 1)) == set()
    assert goes(date(2026, 1, 1)) == {kept.pk}


def test_a_hold_keeps_them_and_is_counted(coordinator):
    household = used_until(ENDED)
    at = timezone.now()
    hold = holding_back.hold(
        household=household,
        reason="An audit",
        until_on=timezone.localdate(at) + timedelta(days=30),
        by=coordinator,
        at=at,
    )

    run = retention.forget_due(at=at)

    assert (run.forgotten, run.held) == (0, 1)
    holding_back.release(kept=hold, by=coordinator, at=at)
    assert retention.forget_due(at=at).forgotten == 1


def test_whoever_moved_and_is_known_at_another_address_stays_until_that_is_over():
    old = used_until(ENDED)
    new = make_household(began_on=date(2023, 1, 1))
    make_participant(
        household=new,
        same_person_as=old.participants.get(),
        first_seen_on=date(2023, 1, 1),
        email="a@example.org",
    )

    found = retention.look(date(2024, 6, 1))

    assert (found.goes, found.living_on) == ((), (old.pk,))
    assert goes(date(2026, 1, 1)) == {old.pk, new.pk}


def test_whoever_signed_up_a_moment_ago_stays(monkeypatch):
    household = used_until(ENDED)
    found = retention.look(date(2024, 4, 1))
    make_answer(household=household, answered_on=date(2024, 3, 30))
    monkeypatch.setattr(retention, "look", lambda on, kept: found)

    assert retention.forget_due(at=NOW).forgotten == 0
    household.refresh_from_db()
    assert "forgotten" not in household.street


def test_begun_for_all_it_runs_for_whoever_is_active_too(coordinator):
    active = home()
    make_stay(household=active, from_day=BEGAN.toordinal())
    begun = datetime(2026, 5, 31, 18, tzinfo=UTC)

    retention.begin_for_all(by=coordinator, at=begun)
    retention.begin_for_all(by=coordinator, at=begun + timedelta(days=40))

    assert retention.everybody_until() == date(2029, 5, 31)
    assert goes(date(2029, 5, 30)) == set()
    assert goes(date(2029, 5, 31)) == {active.pk}
    retention.call_off_for_all(by=coordinator, at=begun + timedelta(days=50))
    assert goes(date(2029, 5, 31)) == set()


def test_the_command_says_what_it_would_do_and_does_it():
    household = used_until(ENDED)
    out = StringIO()

    call_command("forget_due", "--dry-run", stdout=out)
    household.refresh_from_db()
    assert (out.getvalue().split(".")[0], RetentionRun.objects.count()) == ("Would go: 1 households", 0)
    assert "forgotten" not in household.street

    call_command("forget_due", stdout=out)
    household.refresh_from_db()
    assert "Forgotten: 1 households. Held: 0." in out.getvalue()
    assert "forgotten" in household.street


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"months_after_use": 0, "months_in_use": None}, "from 1 to 240"),
        ({"months_after_use": 241, "months_in_use": None}, "from 1 to 240"),
        ({"months_after_use": 36, "months_in_use": 35}, "at least as long"),
        ({"months_after_use": 36, "months_in_use": 241}, "at least as long"),
    ],
)
def test_a_schedule_that_makes_no_sense_is_refused_by_form_and_database(given, sentence):
    with pytest.raises(ValidationError, match=sentence):
        retention.set_schedule(**given, by=make_member(), at=timezone.now())
    with pytest.raises(IntegrityError), transaction.atomic():
        RetentionSchedule.objects.create(**given, set_at=timezone.now(), set_by=make_member())


@pytest.mark.parametrize("model", [RetentionSchedule, RetentionRun])
def test_what_was_set_and_done_is_never_changed(model):
    retention.forget_due(at=NOW)

    with pytest.raises(IntegrityError, match="stays on record"), transaction.atomic():
        model.objects.all().delete()


def test_the_queries_do_not_grow_with_the_households(django_assert_max_num_queries):
    for _number in range(12):
        home()

    with django_assert_max_num_queries(25):
        retention.look(date(2024, 4, 1))


class TestWithoutASchedule:
    @pytest.fixture
    def schedule(self):
        """Nobody has set one."""

    def test_nothing_goes_and_the_command_says_why(self):
        used_until(ENDED)

        assert goes(date(2040, 1, 1)) == set()
        with pytest.raises(CommandError, match="Nobody has set how long"):
            call_command("forget_due")

    def test_begun_for_all_it_runs_for_the_usual_months(self, coordinator):
        kept = retention.begin_for_all(by=coordinator, at=NOW)

        assert (kept.months_after_use, kept.begun_for_all_on) == (36, date(2024, 3, 31))
