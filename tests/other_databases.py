"""The site on a database of its own, SQLite or PostgreSQL, for tests that start it as another process.

The fixtures give the environment of that process.
"""

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from tests import migrated

ROOT = Path(__file__).parents[1]


@pytest.fixture
def sqlite_environment():
    with tempfile.TemporaryDirectory() as folder:
        migrated.copy_to(Path(folder) / "loambook.sqlite3")
        inherited = {name: value for name, value in os.environ.items() if name != "DATABASE_URL"}
        yield inherited | settings_in(folder)


@pytest.fixture
def postgres_environment():
    """A database of its own beside the one of DATABASE_URL."""
    psycopg = pytest.importorskip("psycopg")
    url = os.environ.get("DATABASE_URL", "")
    if not url.startswith("postgres"):
        pytest.skip("DATABASE_URL names no PostgreSQL")
    name = f"own_{os.getpid()}"
    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute(f'CREATE DATABASE "{name}"')
    with tempfile.TemporaryDirectory() as folder:
        own = urlsplit(url)._replace(path=f"/{name}").geturl()
        yield os.environ | settings_in(folder) | {"DATABASE_URL": own}
    with psycopg.connect(url, autocommit=True) as connection:
        connection.execute(f'DROP DATABASE "{name}" WITH (FORCE)')


def settings_in(folder):
    return {
        "LOAMBOOK_VAR": folder,
        "PYTHONPATH": str(ROOT),
        "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
    }


def python(code, environment):
    done = subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
