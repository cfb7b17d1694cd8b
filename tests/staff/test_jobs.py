"""Jobs are asked for, claimed once, done or failed in words, and shown."""

import datetime
import threading

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from outreach.staff import audit, jobs, working
from outreach.staff.models import Job
from outreach.staff.roles import Role
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


class SheetIsUpsideDown(Exception):
    """A refusal of the work in the test."""


@pytest.fixture
def work(monkeypatch):
    """Register what a job of the kind 'test.work' does."""

    def register(function, **options):
        monkeypatch.setattr(jobs, "_kinds", dict(jobs._kinds))
        jobs.job("test.work", title="Turning the heap", **options)(function)

    return register


def ask(**arguments):
    return jobs.queue("test.work", arguments, by=make_member(), at=timezone.now())


def test_a_job_gets_its_arguments_and_keeps_its_result(work):
    work(lambda progress, *, times: {"words": f"Turned {times} times."})
    asked = ask(times=3)

    assert working.run_queued() == 1

    asked.refresh_from_db()
    assert (asked.state, asked.result) == (Job.State.DONE, {"words": "Turned 3 times."})
    assert asked.lease_until_at is None
    assert asked.finished_at is not None


def test_steps_are_seen_while_it_runs(work):
    seen = []

    def turn(progress):
        progress.step(2, of=5, words="Turning")
        seen.append(Job.objects.values_list("done_steps", "all_steps", "message").get())

    work(turn)
    ask()

    working.run_queued()

    assert seen == [(2, 5, "Turning")]


@pytest.mark.parametrize(
    "refusal",
    [
        jobs.CannotDo("The sheet has no heading row. Add one and send it again."),
        ValidationError("The sheet has no heading row. Add one and send it again."),
        SheetIsUpsideDown("The sheet has no heading row. Add one and send it again."),
    ],
    ids=["cannot do", "validation", "own error"],
)
def test_a_refusal_is_kept_in_its_own_words(work, refusal):
    def refuse(progress):
        raise refusal

    work(refuse, refusals=(SheetIsUpsideDown,))
    asked = ask()

    working.run_queued()

    asked.refresh_from_db()
    assert asked.state == Job.State.FAILED
    assert asked.message == "The sheet has no heading row. Add one and send it again."


def test_a_fault_of_ours_goes_to_the_log_and_not_to_the_person(work, caplog):
    def stumble(progress):
        raise KeyError("wilhelmina@example.org")

    work(stumble)
    asked = ask()

    working.run_queued()

    asked.refresh_from_db()
    assert asked.state == Job.State.FAILED
    assert "fault of the software" in asked.message
    assert "wilhelmina" not in asked.message
    assert "Traceback" in caplog.text


def test_asking_for_unknown_work_names_what_is_known(work):
    work(lambda progress: None)

    with pytest.raises(jobs.UnknownKind, match=r"Known: .*test\.work"):
        jobs.queue("test.play", {}, by=None, at=timezone.now())


def test_a_job_whose_kind_is_gone_fails_in_words(db):
    asked = Job.objects.create(kind="gone", queued_at=timezone.now())

    working.run_queued()

    asked.refresh_from_db()
    assert asked.state == Job.State.FAILED
    assert "No job of the kind 'gone'" in asked.message


def test_what_a_job_changes_is_in_the_trail_under_whoever_asked(work):
    town = make_jurisdiction()

    def rename(progress):
        town.name = "Renamed"
        town.save()

    work(rename)
    asked = ask()

    working.run_queued()

    assert audit.entries_of(town)[0].who == asked.queued_by.full_name


def test_a_job_that_is_held_is_not_taken_up(work):
    work(lambda progress: None)
    ask()
    now = timezone.now()

    assert working.claim(at=now) is not None
    assert working.claim(at=now + working.LEASE / 2) is None


def test_after_its_lease_a_job_is_taken_over_and_the_first_worker_can_write_nothing_more(work):
    work(lambda progress: None)
    ask()
    now = timezone.now()
    first = working.Holding(working.claim(at=now - 3 * working.LEASE))

    second = working.claim(at=now)

    assert second.attempts == 2
    with pytest.raises(working.TakenOver):
        first.step(9, of=9)
    with pytest.raises(working.TakenOver):
        first.beat()
    working._finish(first.job, Job.State.FAILED, message="late")
    second.refresh_from_db()
    assert (second.state, second.done_steps) == (Job.State.RUNNING, 0)


def test_a_step_renews_the_lease(work):
    work(lambda progress: None)
    ask()
    holding = working.Holding(working.claim(at=timezone.now() - working.LEASE / 2))
    before = holding.job.lease_until_at

    holding.step(1, of=2)

    assert Job.objects.get().lease_until_at > before


def test_what_stops_its_worker_three_times_is_given_up(work):
    work(lambda progress: None)
    asked = ask()
    for attempt in range(working.MOST_ATTEMPTS):
        assert working.claim(at=asked.queued_at + attempt * 2 * working.LEASE)

    assert working.claim(at=asked.queued_at + datetime.timedelta(hours=1)) is None

    asked.refresh_from_db()
    assert asked.state == Job.State.FAILED
    assert "stopped 3 times" in asked.message


def test_a_worker_told_to_stop_puts_its_job_back(work):
    stop = threading.Event()

    def turn(progress):
        stop.set()
        progress.step(1, of=2)

    work(turn)
    ask()

    working.perform(working.Holding(working.claim(at=timezone.now()), stop=stop))

    assert Job.objects.values_list("state", "attempts", "lease_until_at").get() == ("queued", 0, None)


@pytest.mark.django_db(transaction=True)
def test_two_workers_never_do_one_job_twice(work):
    """Sixteen jobs, four workers as threads, each with a connection of its own."""
    done = []
    work(lambda progress, *, number: done.append(number))
    for number in range(16):
        ask(number=number)

    def labour():
        try:
            working.run_queued()
        finally:
            connection.close()

    workers = [threading.Thread(target=labour) for _ in range(4)]
    for worker in workers:
        worker.start()
    for worker in workers:
        worker.join()

    assert sorted(done) == list(range(16))
    assert set(Job.objects.values_list("state", "attempts")) == {("done", 1)}


@pytest.mark.django_db(transaction=True)
def test_a_worker_inside_the_server_does_what_comes_and_ends_when_told(work):
    ended, stop = threading.Event(), threading.Event()
    work(lambda progress: ended.set())
    worker = working.run_inside(stop)

    ask()
    came = ended.wait(20)
    stop.set()
    worker.join(20)

    assert came
    assert not worker.is_alive()
    assert Job.objects.get().state == Job.State.DONE


@pytest.mark.django_db(transaction=True)
def test_the_heart_keeps_the_lease_of_work_that_computes_for_long(work):
    lease = datetime.timedelta(seconds=0.4)
    ask_again = threading.Event()

    def compute(progress):
        ask_again.wait(1.5)

    work(compute)
    ask()
    job = working.claim(at=timezone.now(), lease=lease)

    with working.Heart(working.Holding(job, lease=lease)) as holding:
        threading.Event().wait(1)
        taken = working.claim(at=timezone.now(), lease=lease)
        working.perform(holding)

    assert taken is None
    assert Job.objects.get().state == Job.State.DONE


class TestPage:
    def test_it_shows_how_far_it_is_and_asks_again(self, work, as_role):
        work(lambda progress: None)
        job = ask()
        Job.objects.update(state="running", done_steps=3, all_steps=8, message="Reading rows")

        page = as_role(Role.COORDINATOR).get(reverse("job", args=[job.pk])).content.decode()

        assert "Turning the heap" in page
        assert "Reading rows" in page
        assert "3 of 8" in page
        assert 'hx-trigger="every 2s"' in page
        assert '<noscript><meta http-equiv="refresh"' in page

    def test_a_fragment_is_only_the_progress(self, work, as_role):
        work(lambda progress: None)
        job = ask()

        answer = as_role(Role.COORDINATOR).get(reverse("job", args=[job.pk]), headers={"HX-Request": "true"})

        assert answer.content.decode().strip().startswith("<section")
        assert answer["Vary"].startswith("HX-Request")

    def test_when_it_is_done_it_says_so_and_asks_no_more(self, work, as_role):
        work(lambda progress: {"words": "All rows are in.", "url": "/workshops/"})
        job = ask()
        working.run_queued()

        page = as_role(Role.COORDINATOR).get(reverse("job", args=[job.pk])).content.decode()

        assert "All rows are in." in page
        assert 'href="/workshops/"' in page
        assert "hx-trigger" not in page
        assert "refresh" not in page

    def test_it_leads_nowhere_but_to_pages_of_ours(self, work, as_role):
        work(lambda progress: {"url": "https://elsewhere.example.org/"})
        job = ask()
        working.run_queued()

        page = as_role(Role.COORDINATOR).get(reverse("job", args=[job.pk])).content.decode()

        assert "elsewhere" not in page

    def test_outside_the_office_one_sees_ones_own_jobs_alone(self, work, as_role, client):
        work(lambda progress: None)
        job = ask()
        client.force_login(job.queued_by, backend="outreach.staff.signing_in.CurrentStaffBackend")
        job.queued_by.role = Role.CITY_ANALYST
        job.queued_by.save()

        assert client.get(reverse("job", args=[job.pk])).status_code == 200
        assert as_role(Role.CITY_ANALYST).get(reverse("job", args=[job.pk])).status_code == 404
