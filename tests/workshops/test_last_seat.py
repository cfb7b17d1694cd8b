"""Two processes book the last seat at the same moment: one gets it, the other stands by."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(__file__).parents[2]
PREPARE = """
from tests.factories.households import make_participant
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop
make_member()
workshop = make_workshop(seats=1)
print(workshop.pk, make_participant().pk, make_participant().pk)
"""
BOOK = """
import pathlib, sys, time
from django.utils import timezone
from outreach.households.models import Participant
from outreach.staff.models import StaffMember
from outreach.workshops import registering
from outreach.workshops.models import Workshop
workshop = Workshop.objects.get(pk=int(sys.argv[1]))
person, by = Participant.objects.get(pk=int(sys.argv[2])), StaffMember.objects.get()
pathlib.Path(sys.argv[3]).touch()
while not pathlib.Path(sys.argv[4]).exists():
    time.sleep(0.001)
put = registering.register(workshop=workshop, participant=person, at=timezone.now(), by=by)
print(put.state, put.standby_place)
"""
PREPARE_SIGN_UP = """
from tests.workshops.sign_ups import make_public_workshop
from django.utils import timezone
import datetime
day = timezone.localdate() + datetime.timedelta(days=9)
print(make_public_workshop(seats=1, held_on=day).pk, "5_Reed_Street", "7_Fern_Road")
"""
SIGN_UP = """
import pathlib, sys, time
from django.utils import timezone
from outreach.workshops.models import Workshop
from tests.workshops.sign_ups import sign_up
workshop = Workshop.objects.get(pk=int(sys.argv[1]))
pathlib.Path(sys.argv[3]).touch()
while not pathlib.Path(sys.argv[4]).exists():
    time.sleep(0.001)
booking = sign_up(workshop, at=timezone.now(), street=sys.argv[2].replace("_", " "))
print(booking.state, booking.standby_place)
"""
SET_UP = "import django; django.setup()\n"


@pytest.fixture
def environment(tmp_path, request):
    """A database file of their own for the processes; on PostgreSQL the test database as it stands."""
    given = {"LOAMBOOK_VAR": str(tmp_path), "DJANGO_SETTINGS_MODULE": settings.SETTINGS_MODULE}
    environment = os.environ | given | {"PYTHONPATH": str(ROOT)}
    if settings.DATABASES["default"]["ENGINE"].endswith("sqlite3"):
        environment.pop("DATABASE_URL", None)
        subprocess.run([sys.executable, "manage.py", "migrate", "-v0"], cwd=ROOT, env=environment, check=True)
    else:
        request.getfixturevalue("transactional_db")
        environment["DATABASE_URL"] = _address_of_test_database()
    return environment


def _address_of_test_database() -> str:
    from django.db import connection

    base, _, _name = os.environ["DATABASE_URL"].rpartition("/")
    return f"{base}/{connection.settings_dict['NAME']}"


def _python(code, *arguments, environment):
    command = [sys.executable, "-c", SET_UP + code, *map(str, arguments)]
    return subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True)


def _wait_for(*paths):
    import time

    for _number in range(6000):
        if all(path.exists() for path in paths):
            return
        time.sleep(0.01)
    pytest.fail("The processes did not start.")


WAYS = [(PREPARE, BOOK), (PREPARE_SIGN_UP, SIGN_UP)]


@pytest.mark.postgres
@pytest.mark.slow
@pytest.mark.parametrize(("prepare", "book"), WAYS, ids=["at the desk", "by themselves"])
def test_one_gets_the_last_seat_and_the_other_stands_by(environment, tmp_path, prepare, book):
    preparing = _python(prepare, environment=environment)
    workshop, *people = preparing.communicate(timeout=120)[0].split()
    ready, go = [tmp_path / f"ready{person}" for person in people], tmp_path / "go"

    booking = [
        _python(book, workshop, person, sign, go, environment=environment)
        for person, sign in zip(people, ready, strict=True)
    ]
    _wait_for(*ready)
    go.touch()
    states = sorted(process.communicate(timeout=120)[0].strip() for process in booking)

    assert states == ["booked None", "standby 1"]
