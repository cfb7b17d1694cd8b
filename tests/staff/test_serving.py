"""One process serves the site and works; told to stop, it stops."""

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

from tests import migrated

ROOT = Path(__file__).parents[2]


@pytest.fixture
def environment(tmp_path):
    made = {
        "PATH": os.environ["PATH"],
        "LOAMBOOK_VAR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
        "PYTHONUNBUFFERED": "1",
    }
    if not migrated.copy_to(tmp_path / "loambook.sqlite3"):
        subprocess.run([sys.executable, "manage.py", "migrate", "-v0"], env=made, cwd=ROOT, check=True)
    return made


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def fetch(port, seconds=30):
    end = time.monotonic() + seconds
    while True:
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/staff/sign-in/", timeout=5) as answer:
                return answer.status, answer.read().decode()
        except OSError:
            if time.monotonic() > end:
                raise
            time.sleep(0.2)


def run_to_its_end(code, environment):
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, env=environment, cwd=ROOT, check=True, capture_output=True, text=True)
    return done.stdout.strip()


def test_it_serves_works_and_stops(environment):
    port = free_port()
    ask = (
        "import django; django.setup()\nfrom django.utils import timezone\n"
        "from outreach.staff.models import Job\n"
        "Job.objects.create(kind='gone', queued_at=timezone.now())"
    )
    look = (
        "import time, django; django.setup()\nfrom outreach.staff.models import Job\n"
        "end = time.monotonic() + 60\n"
        "while Job.objects.get().state in ('queued', 'running') and time.monotonic() < end: time.sleep(0.1)\n"
        "print(Job.objects.get().state)"
    )
    server = subprocess.Popen(
        [sys.executable, "manage.py", "serve", "--port", str(port)], env=environment, cwd=ROOT
    )
    try:
        status, page = fetch(port)
        subprocess.run([sys.executable, "-c", ask], env=environment, cwd=ROOT, check=True)
        state = run_to_its_end(look, environment)
        server.send_signal(signal.SIGTERM)
        code = server.wait(timeout=40)
    finally:
        server.kill()
        server.wait()

    assert status == 200
    assert "Loambook" in page
    assert state == "failed", "Nothing does the kind 'gone', and the worker inside says so."
    assert code == 0


def test_a_port_that_is_taken_is_said_in_words(environment):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = str(other.getsockname()[1])

        done = subprocess.run(
            [sys.executable, "manage.py", "serve", "--port", port],
            env=environment,
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=False,
        )

    assert done.returncode == 1
    assert "Try another --port" in done.stderr


def test_it_listens_to_the_network_only_under_a_name(environment):
    done = subprocess.run(
        [sys.executable, "manage.py", "serve", "--host", "0.0.0.0", "--port", str(free_port())],
        env=environment,
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )

    assert done.returncode == 1
    assert "Set LOAMBOOK_HOSTS" in done.stderr
