"""A worker killed in the middle is followed by another that does the job to its end."""

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from django.db import connection
from django.utils import timezone

from outreach.staff.models import Job

ROOT = Path(__file__).parents[2]
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.postgres]

WORKER = """
import os, sys, time
import django
from django.conf import settings
settings.DATABASES["default"]["NAME"] = sys.argv[1]
django.setup()
from outreach.staff import jobs
from django.core.management import call_command

@jobs.job("test.slow", title="Slow work")
def slow(progress, *, steps, pause):
    for number in range(1, steps + 1):
        progress.step(number, of=steps, words=f"worker {os.getpid()}")
        time.sleep(pause)
    return {"worker": os.getpid()}

call_command("work", *sys.argv[2:])
"""


@pytest.fixture
def start_worker():
    started = []

    def start(*options):
        worker = subprocess.Popen(
            [sys.executable, "-c", WORKER, str(connection.settings_dict["NAME"]), *options],
            env=os.environ | {"DJANGO_SETTINGS_MODULE": "outreach.site.settings"},
            cwd=ROOT,
        )
        started.append(worker)
        return worker

    yield start
    for worker in started:
        worker.kill()
        worker.wait()


def wait_until(condition, seconds=60):
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        if condition():
            return True
        time.sleep(0.05)
    return False


def ask(steps, pause):
    arguments = {"steps": steps, "pause": pause}
    return Job.objects.create(kind="test.slow", arguments=arguments, queued_at=timezone.now())


def test_a_job_whose_worker_is_killed_is_done_by_another(start_worker):
    job = ask(steps=8, pause=0.25)
    first = start_worker("--lease", "2")
    begun = wait_until(lambda: Job.objects.get().done_steps >= 2)
    first.send_signal(signal.SIGKILL)
    first.wait()
    left = Job.objects.get()

    start_worker("--lease", "2")
    ended = wait_until(lambda: Job.objects.get().is_finished)

    job.refresh_from_db()
    assert begun
    assert left.state == Job.State.RUNNING
    assert ended
    assert (job.state, job.attempts, job.done_steps) == (Job.State.DONE, 2, 8)
    assert job.result["worker"] != first.pid


def test_a_worker_asked_to_stop_leaves_its_job_to_the_next(start_worker):
    ask(steps=40, pause=0.2)
    worker = start_worker("--lease", "30")
    wait_until(lambda: Job.objects.get().done_steps >= 2)

    worker.send_signal(signal.SIGTERM)
    code = worker.wait(timeout=30)

    assert code == 0
    assert Job.objects.get().state == Job.State.QUEUED


def test_once_does_what_is_queued_and_ends(start_worker):
    ask(steps=1, pause=0)
    ask(steps=1, pause=0)

    code = start_worker("--once").wait(timeout=60)

    assert code == 0
    assert set(Job.objects.values_list("state", flat=True)) == {Job.State.DONE}
