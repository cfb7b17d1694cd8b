"""Backups are whole though others write meanwhile, and are put back whole or not at all.

Everything here runs as on a machine: commands in processes of their own, on a database of their own,
SQLite in a folder or, where DATABASE_URL is set, PostgreSQL.
"""

import json
import os
import shutil
import sqlite3
import subprocess
import sys
import time
import uuid
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import dj_database_url
import pytest

from outreach.staff import backups, restoring

ROOT = Path(__file__).parents[2]
POSTGRESQL = os.environ.get("DATABASE_URL", "")
pytestmark = [pytest.mark.postgres, pytest.mark.slow]

# Two rows in one transaction, over and over: a backup with an odd number is not of one instant.
WRITER = """
import django
django.setup()
from django.db import transaction
from django.utils import timezone
from outreach.staff.models import Job
for number in range(1_000_000):
    with transaction.atomic():
        Job.objects.create(kind="pair", arguments={"n": number}, queued_at=timezone.now())
        Job.objects.create(kind="pair", arguments={"n": number}, queued_at=timezone.now())
    if number == 0:
        print("writing", flush=True)
"""
COUNT = """
import django
django.setup()
from outreach.staff.models import Job
print(Job.objects.filter(kind="row").count())
"""
ADD = """
import django
django.setup()
from django.utils import timezone
from outreach.staff.models import Job
Job.objects.create(kind="row", queued_at=timezone.now())
"""


class Machine:
    """A folder as LOAMBOOK_VAR and a database, with the commands run as processes."""

    def __init__(self, var, url=""):
        self.var, self.url = var, url
        self.environment = {
            "PATH": os.environ["PATH"],
            "LOAMBOOK_VAR": str(var),
            "DATABASE_URL": url,
            "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
        }
        if not url:
            del self.environment["DATABASE_URL"]

    def manage(self, *arguments):
        return self._run([sys.executable, "manage.py", *map(str, arguments)])

    def python(self, script):
        done = self._run([sys.executable, "-c", script])
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    @contextmanager
    def writing(self):
        """Another process that writes pairs of rows, until the block ends."""
        with subprocess.Popen(
            [sys.executable, "-c", WRITER],
            env=self.environment,
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
        ) as writer:
            try:
                assert writer.stdout.readline().strip() == "writing"
                yield writer
            finally:
                writer.kill()

    def _run(self, call):
        return subprocess.run(
            call, env=self.environment, cwd=ROOT, capture_output=True, text=True, check=False
        )


@pytest.fixture(scope="module")
def make_machine(tmp_path_factory):
    """Machines that are removed afterwards, with their PostgreSQL database where there is one."""
    made = []

    def make(like=None):
        folder = tmp_path_factory.mktemp("machine") / "var"
        if like:
            shutil.copytree(like.var, folder)
        if not POSTGRESQL:
            return Machine(folder)
        parts = dj_database_url.parse(POSTGRESQL)
        name = f"backup_{uuid.uuid4().hex[:12]}"
        template = dj_database_url.parse(like.url)["NAME"] if like else "template0"
        on_server(f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
        made.append(name)
        return Machine(folder, POSTGRESQL.removesuffix("/" + parts["NAME"]) + "/" + name)

    yield make
    for name in made:
        on_server(f'DROP DATABASE "{name}" WITH (FORCE)')


def on_server(statement):
    import psycopg

    with psycopg.connect(POSTGRESQL, autocommit=True) as server:
        server.execute(statement)


@pytest.fixture(scope="module")
def pristine(make_machine):
    """A machine with an empty database, one row, and one upload; tests work on copies."""
    machine = make_machine()
    done = machine.manage("migrate", "--verbosity=0")
    assert done.returncode == 0, done.stderr
    (machine.var / "uploads" / "2025").mkdir(parents=True)
    (machine.var / "uploads" / "2025" / "sheet.csv").write_text("name\nAda\n")
    machine.python(ADD)
    return machine


@pytest.fixture
def machine(pristine, make_machine):
    return make_machine(like=pristine)


@pytest.fixture(scope="module")
def made_backup(pristine, tmp_path_factory):
    folder = tmp_path_factory.mktemp("backups") / "backup"
    done = pristine.manage("back_up", folder)
    assert done.returncode == 0, done.stderr
    return folder


@pytest.fixture
def backup(made_backup, tmp_path):
    return Path(shutil.copytree(made_backup, tmp_path / "backup"))


def test_a_backup_made_while_another_process_writes_is_of_one_instant(machine, make_machine, tmp_path):
    with machine.writing() as writer:
        time.sleep(0.5)
        done = machine.manage("back_up", tmp_path / "backup")
        assert writer.poll() is None, "The writer was to write on during the backup."
    assert done.returncode == 0, done.stderr
    elsewhere = make_machine()

    restored = elsewhere.manage("restore", tmp_path / "backup")

    assert restored.returncode == 0, restored.stderr
    count = int(elsewhere.python(COUNT.replace("row", "pair")))
    assert count > 0
    assert count % 2 == 0
    assert (elsewhere.var / "uploads" / "2025" / "sheet.csv").read_text() == "name\nAda\n"
    assert (elsewhere.var / "secret_key").read_text() == (machine.var / "secret_key").read_text()


def test_the_manifest_names_every_file_with_its_digest_and_the_software(backup):
    manifest = json.loads((backup / "manifest.json").read_text())

    assert {"secret_key", "uploads/2025/sheet.csv"} < set(manifest["files"])
    assert any(name.startswith("database.") for name in manifest["files"])
    assert manifest["software_version"]
    assert "staff.0001_initial" in manifest["migrations"]
    # SHA-256 of "name\nAda\n", from sha256sum of GNU coreutils.
    assert (
        manifest["files"]["uploads/2025/sheet.csv"]
        == subprocess.run(
            ["sha256sum", backup / "uploads/2025/sheet.csv"], capture_output=True, text=True, check=True
        ).stdout.split()[0]
    )


def test_a_backup_can_be_read_by_its_owner_alone(made_backup):
    assert made_backup.stat().st_mode & 0o077 == 0
    assert (made_backup / "secret_key").stat().st_mode & 0o077 == 0


def test_the_last_backup_is_remembered(pristine, backup):
    script = (
        "import django; django.setup(); from outreach.staff import backups; print(backups.last_made_at())"
    )

    assert pristine.python(script) == json.loads((backup / "manifest.json").read_text())["made_at"].replace(
        "T", " "
    )


def test_a_machine_without_a_backup_knows_none(make_machine):
    script = (
        "import django; django.setup(); from outreach.staff import backups; print(backups.last_made_at())"
    )

    assert make_machine().python(script) == "None"


def test_a_folder_that_holds_something_is_refused(machine, tmp_path):
    folder = tmp_path / "full"
    folder.mkdir()
    (folder / "letter.txt").write_text("dear reader")

    done = machine.manage("back_up", folder)

    assert done.returncode == 1
    assert "is not empty. Name a folder that is new or empty." in done.stderr
    assert [p.name for p in folder.iterdir()] == ["letter.txt"]


def _lose_the_manifest(folder):
    (folder / "manifest.json").unlink()


def _change_an_upload(folder):
    (folder / "uploads" / "2025" / "sheet.csv").write_text("name\nEve\n")


def _lose_an_upload(folder):
    (folder / "uploads" / "2025" / "sheet.csv").unlink()


def _add_a_file(folder):
    (folder / "uploads" / "more.csv").write_text("x")


def _change_the_database(folder):
    path = next(folder.glob("database.*"))
    path.chmod(0o600)
    content = bytearray(path.read_bytes())
    content[len(content) // 2] ^= 1
    path.write_bytes(content)


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (_lose_the_manifest, "it has no manifest.json, so it was never finished"),
        (_change_an_upload, "uploads/2025/sheet.csv was changed"),
        (_lose_an_upload, "uploads/2025/sheet.csv is missing"),
        (_add_a_file, "uploads/more.csv does not belong to it"),
        (_change_the_database, "was changed"),
    ],
)
def test_a_broken_backup_is_refused(backup, spoil, words):
    spoil(backup)

    with pytest.raises(backups.BrokenBackup, match="Nothing was restored") as refusal:
        backups.read_manifest(backup)

    assert words in str(refusal.value)


def test_refusing_a_broken_backup_touches_nothing(machine, backup):
    _change_the_database(backup)

    done = machine.manage("restore", backup, "--yes")

    assert done.returncode == 1
    assert "was changed" in done.stderr
    assert machine.python(COUNT) == "1"
    assert not list(machine.var.glob("before-restore-*"))


def test_a_database_that_is_there_is_only_replaced_on_a_word_and_kept_aside(machine, backup):
    machine.python(ADD)

    asked = machine.manage("restore", backup)
    assert asked.returncode == 1
    assert "Say --yes" in asked.stderr
    assert machine.python(COUNT) == "2"

    done = machine.manage("restore", backup, "--yes")

    assert done.returncode == 0, done.stderr
    assert machine.python(COUNT) == "1"
    (aside,) = machine.var.glob("before-restore-*")
    assert (aside / "uploads" / "2025" / "sheet.csv").exists()
    assert (aside / "secret_key").exists()
    if not POSTGRESQL:
        with sqlite3.connect(aside / "database.sqlite3") as kept:
            assert kept.execute("SELECT count(*) FROM staff_job WHERE kind = 'row'").fetchone() == (2,)
    else:
        assert (aside / "database.pgdump").stat().st_size > 10_000


def test_a_database_in_use_is_not_replaced(machine, backup):
    with machine.writing():
        done = machine.manage("restore", backup, "--yes")

    assert done.returncode == 1
    assert "in use. Stop the server and the worker" in done.stderr
    assert not list(machine.var.glob("*.incoming"))
    assert not list(machine.var.glob("before-restore-*"))
    assert machine.python(COUNT) == "1"


def test_a_backup_of_newer_software_is_refused(backup):
    manifest = backups.read_manifest(backup)
    later = [*manifest.migrations, "staff.0999_later"]

    with pytest.raises(backups.BackupRefused, match=r"made by Loambook 9\.9.*staff\.0999_later"):
        restoring._refuse_foreign(replace(manifest, software_version="9.9", migrations=later))


def test_a_backup_of_another_kind_of_database_is_refused(backup):
    other = "sqlite" if POSTGRESQL else "postgresql"

    with pytest.raises(backups.BackupRefused, match=f"The backup is of a {other} database"):
        restoring._refuse_foreign(replace(backups.read_manifest(backup), database=other))


def test_after_a_restore_everybody_signs_in_again_and_the_guard_stands(machine, tmp_path):
    machine.python(
        "import django; django.setup()\n"
        "from django.contrib.sessions.backends.db import SessionStore\n"
        "session = SessionStore(); session['who'] = 1; session.save()"
    )
    machine.manage("back_up", tmp_path / "with-session")

    machine.manage("restore", tmp_path / "with-session", "--yes")

    found = machine.python(
        "import django; django.setup()\n"
        "from django.contrib.sessions.models import Session\n"
        "from outreach.staff import guard\n"
        "print(Session.objects.count(), guard.look(databases=['default']))"
    )
    assert found == "0 []"


@pytest.mark.skipif(bool(POSTGRESQL), reason="what PostgreSQL does with a broken page is its own affair")
def test_a_damaged_database_gives_no_backup(machine, tmp_path):
    path = machine.var / "loambook.sqlite3"
    with sqlite3.connect(path) as live:
        live.execute("PRAGMA journal_mode=DELETE")
        root = live.execute("SELECT rootpage FROM sqlite_master WHERE name = 'django_migrations'").fetchone()[
            0
        ]
        size = live.execute("PRAGMA page_size").fetchone()[0]
    with path.open("r+b") as stream:
        stream.seek((root - 1) * size)
        stream.write(b"\xff" * 64)

    done = machine.manage("back_up", "--skip-checks", tmp_path / "none")

    assert done.returncode == 1
    assert not (tmp_path / "none" / "manifest.json").exists()
    assert "damaged" in done.stderr


ASK = """
import django; django.setup()
from django.utils import timezone
from outreach.households import forgetting
from outreach.households.models import Household, Participant
"""


def test_a_restore_forgets_again_whoever_was_forgotten_since(machine, tmp_path):
    number = machine.python(
        f"{ASK}\nhome = Household.objects.create(street='5 Reed St', street_key='5 REED ST',"
        " address_key='5 REED ST 00431', began_on='2025-01-01')\n"
        "print(Participant.objects.create(household=home, full_name='Ada Holm', name_key='ADA HOLM',"
        " first_seen_on='2025-01-01').pk)"
    )
    machine.manage("back_up", tmp_path / "with-her")
    machine.python(
        f"{ASK}\nforgetting.forget(participant=Participant.objects.get(pk={number}), why='asked', by=None,"
        " at=timezone.now())"
    )

    machine.manage("restore", tmp_path / "with-her", "--yes")

    found = machine.python(f"{ASK}\nprint(Participant.objects.get(pk={number}).full_name)")
    assert found == f"forgotten {number}"
