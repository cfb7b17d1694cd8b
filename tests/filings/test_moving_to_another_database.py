"""Records written out of one database and read into another: filings compute to the same digits there."""

import subprocess
import sys

import pytest

from tests import migrated
from tests.other_databases import ROOT, python

PREPARE = """
import django, json
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from tests.filings.programmes import programme
programme()
call_command("file_quarter", jurisdiction="quillby", quarter="2025-Q2", stdout=open("/dev/null", "w"))
print(json.dumps("filed"))
"""
COUNT = """
import django, json
django.setup()
from django.apps import apps
from outreach.filings.models import Filing
print(json.dumps({
    "rows": {one._meta.label: one._default_manager.count() for one in apps.get_models()
        if one._meta.label not in ("contenttypes.ContentType", "auth.Permission", "sessions.Session")},
    "digest": Filing.objects.get().report_sha256,
}))
"""
LEFT_OUT = ("contenttypes", "auth.permission", "sessions")
WAYS = [
    ("sqlite_environment", "another_sqlite"),
    ("sqlite_environment", "postgres_environment"),
    ("postgres_environment", "sqlite_environment"),
]


@pytest.fixture
def another_sqlite(sqlite_environment, tmp_path):
    migrated.copy_to(tmp_path / "loambook.sqlite3")
    return sqlite_environment | {"LOAMBOOK_VAR": str(tmp_path)}


def manage(environment, *words):
    command = [sys.executable, "manage.py", *words]
    done = subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.slow
@pytest.mark.postgres
@pytest.mark.parametrize(("old", "new"), WAYS)
def test_a_filing_is_equal_after_its_records_moved(old, new, request, tmp_path):
    old, new = request.getfixturevalue(old), request.getfixturevalue(new)
    records = str(tmp_path / "records.json")
    python(PREPARE, old)
    before = python(COUNT, old)

    manage(old, "dumpdata", "--natural-foreign", *(f"--exclude={one}" for one in LEFT_OUT), "-o", records)
    manage(new, "migrate", "--verbosity=0")
    manage(new, "loaddata", records)

    assert python(COUNT, new) == before
    assert manage(new, "verify_filing", "1").startswith("Equal: ")
