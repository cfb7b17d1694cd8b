"""Several workers ask and remind in the same moment, in processes of their own: everybody hears from us once."""

import subprocess
import sys
import time

import pytest

from tests.other_databases import ROOT, python

HOMES, WORKERS = 24, 4
SECONDS_TO_START = 8

PREPARE = f"""
import datetime, django
django.setup()
from django.core.management import call_command
from django.utils import timezone
call_command("migrate", verbosity=0)
from tests.factories.bins import make_handout
from tests.factories.households import make_household, make_participant
handed_on = timezone.localdate() - datetime.timedelta(days=100)
for number in range({HOMES}):
    home = make_household()
    make_participant(household=home, full_name="Ada Holm", email=f"ada{{number}}@example.org")
    make_handout(household=home, handed_on=handed_on)
print(0)
"""

ELEVEN_DAYS_LATER = """
import datetime, json, django
django.setup()
from django.db.models import F
from django.utils import timezone
from outreach.followup.models import Invitation
from outreach.post.models import Message
Message.objects.update(state="sent", settled_at=timezone.now())
ago = datetime.timedelta(days=11)
Invitation.objects.update(opened_on=F("opened_on") - ago, opened_at=F("opened_at") - ago,
    last_asked_at=F("last_asked_at") - ago)
print(0)
"""

COUNT = """
import json, django
django.setup()
from outreach.followup.models import Invitation
from outreach.post.models import Message
print(json.dumps([Invitation.objects.count(), list(Invitation.objects.values_list("reminders_sent", flat=True)),
    Message.objects.filter(kind="followup.invitation").count(),
    Message.objects.filter(kind="followup.reminder").count()]))
"""

RUN = """
import sys, time, django
django.setup()
from django.core.management import call_command
time.sleep(max(0, float(sys.argv[1]) - time.time()))
call_command("invitations_due")
"""


@pytest.mark.slow
def test_on_sqlite_everybody_hears_once(sqlite_environment):
    everybody_hears_once(sqlite_environment)


@pytest.mark.slow
@pytest.mark.postgres
def test_on_postgresql_everybody_hears_once(postgres_environment):
    everybody_hears_once(postgres_environment)


def everybody_hears_once(environment):
    python(PREPARE, environment)

    all_at_once(environment)
    assert python(COUNT, environment) == [HOMES, [0] * HOMES, HOMES, 0]

    python(ELEVEN_DAYS_LATER, environment)
    all_at_once(environment)
    assert python(COUNT, environment) == [HOMES, [1] * HOMES, HOMES, HOMES]


def all_at_once(environment):
    starts = str(time.time() + SECONDS_TO_START)
    command = [sys.executable, "-c", RUN, starts]
    workers = [
        subprocess.Popen(command, cwd=ROOT, env=environment, stderr=subprocess.PIPE) for _ in range(WORKERS)
    ]
    for worker in workers:
        _, errors = worker.communicate(timeout=300)
        assert worker.returncode == 0, errors.decode()
