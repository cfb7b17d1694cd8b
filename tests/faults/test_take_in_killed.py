"""kill -9 in the middle of taking in a file leaves nothing half-written; taking it in again is whole."""

import json
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from django.apps import apps
from django.db import connection

from tests.factories.bins import make_bin_model
from tests.factories.paperwork import PLACES, make_csv

ROOT = Path(__file__).parents[2]
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.postgres, pytest.mark.slow]

# A real process that runs the command and gets signal 9 right before its n-th writing statement.
KILLED = """
import os, signal, sys
import django
from django.conf import settings
database, uploads, kill_at, *arguments = sys.argv[1:]
settings.DATABASES["default"]["NAME"] = database
settings.MEDIA_ROOT = uploads
django.setup()
from django.core.management import call_command
from django.db import connection

written = 0

def count_and_die(execute, sql, params, many, context):
    global written
    if sql.startswith(("INSERT", "UPDATE", "DELETE")):
        written += 1
        if written == int(kill_at):
            os.kill(os.getpid(), signal.SIGKILL)
    return execute(sql, params, many, context)

with connection.execute_wrapper(count_and_die):
    call_command("take_in", *arguments)
print(written)
"""
PEOPLE = 30


@pytest.fixture
def sheet(tmp_path):
    make_bin_model(name="Mesh ring", family="mesh")
    headings = ["Name", "Address", "City", "ZIP", "Bin"]
    people = [
        [f"Person Number{chr(65 + n % 26)}{n}", f"{n} Reed St", "Tidewell", "00431", "y" if n % 2 else "n"]
        for n in range(1, PEOPLE + 1)
    ]
    title = ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"]
    (tmp_path / "sheet.csv").write_bytes(make_csv([title, headings, *people]))
    (tmp_path / "places.csv").write_bytes(PLACES)
    return tmp_path


def take_in(folder: Path, *arguments: str, kill_at: int = 0) -> subprocess.CompletedProcess[str]:
    database = str(connection.settings_dict["NAME"])
    command = [sys.executable, "-c", KILLED, database, str(folder / "uploads"), str(kill_at), *arguments]
    environment = os.environ | {"DJANGO_SETTINGS_MODULE": "outreach.site.settings"}
    return subprocess.run(
        command, env=environment, cwd=ROOT, capture_output=True, text=True, timeout=180, check=False
    )


def everything() -> dict[str, int]:
    return {
        model._meta.label: model._default_manager.count()
        for model in apps.get_models()
        if model._meta.app_label not in {"sessions", "contenttypes"}
    }


def test_whenever_it_is_killed_nothing_is_half_written_and_the_next_time_all_is_there(sheet):
    take_in(sheet, str(sheet / "places.csv"))
    before = everything()
    whole = take_in(sheet, str(sheet / "sheet.csv"), "--dry-run")
    statements = int(whole.stdout.split()[-1])
    assert everything() == before

    for kill_at in (2, statements // 3, 2 * statements // 3, statements):
        killed = take_in(sheet, str(sheet / "sheet.csv"), kill_at=kill_at)

        assert killed.returncode == -signal.SIGKILL, killed.stderr
        assert everything() == before, f"killed before statement {kill_at} of {statements}"

    done = take_in(sheet, str(sheet / "sheet.csv"), "--json")
    counts = json.loads(done.stdout.splitlines()[0])
    assert (counts["workshops"], counts["attendances"], counts["households"]) == (1, PEOPLE, PEOPLE)
    assert counts["handouts"] == PEOPLE // 2
    assert everything()["workshops.Registration"] == PEOPLE
