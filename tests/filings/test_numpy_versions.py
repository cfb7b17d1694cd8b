"""Filings are computed to the same figures with the oldest and the newest NumPy that we admit.

Each is put beside the installed one into a folder of its own. Where no index of packages answers the test is skipped,
but in CI it fails.
"""

import os
import re
import subprocess
import sys
import tomllib

import pytest

from tests.other_databases import ROOT, python

PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
# The first with wheels for this Python, where that is newer than the oldest we admit. From memory.
FIRST_FOR_PYTHON = {(3, 13): "2.1.0", (3, 14): "2.3.2"}
MINUTES = 2

PREPARE = """
import django, json
django.setup()
from django.core.management import call_command
from tests.filings.programmes import programme
call_command("migrate", verbosity=0)
programme()
call_command("file_quarter", jurisdiction="quillby", quarter="2025-Q2", stdout=open("/dev/null", "w"))
import numpy
print(json.dumps(numpy.__version__))
"""
AGAIN = """
import django, json
django.setup()
import numpy
from outreach.filings import composing, computing, frozen_inputs, verifying
from outreach.filings.models import Filing
from outreach.filings.report import as_text
from tests.filings.test_filed_before import FILED, computed_again
found = [str(one) for one in verifying.verify(Filing.objects.get())]
for name, filed in FILED.items():
    again = json.loads(as_text(composing.account_of(computed_again(name)[1])))
    for part in filed["account"]:
        found += [str(one) for one in verifying.differences(filed["account"][part], again[part], where=part)]
print(json.dumps({"numpy": numpy.__version__, "kept": len(FILED), "differences": found}))
"""


def oldest():
    (said,) = (one for one in PROJECT["dependencies"] if one.startswith("numpy"))
    version = re.fullmatch(r"numpy>=(\d+)\.(\d+)", said)
    return FIRST_FOR_PYTHON.get(sys.version_info[:2], f"{version[1]}.{version[2]}.0")


def installed_beside(folder, requirement):
    """A NumPy of its own in a folder; without one the test is skipped, or in CI fails."""
    command = [sys.executable, "-m", "pip", "install", "--quiet", "--no-deps", "--only-binary", ":all:"]
    command += ["--target", str(folder), requirement]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=MINUTES * 60)
        problem = done.stderr if done.returncode else ""
    except subprocess.TimeoutExpired:
        problem = f"no answer in {MINUTES} minutes"
    if problem and os.environ.get("CI"):
        pytest.fail(f"{requirement} could not be installed: {problem[-500:]}")
    elif problem:
        pytest.skip(f"{requirement} could not be installed: {problem[-200:]}")


def with_numpy(environment, folder):
    return environment | {"PYTHONPATH": f"{folder}{os.pathsep}{environment['PYTHONPATH']}"}


@pytest.mark.slow
@pytest.mark.parametrize("which", ["oldest", "newest"])
def test_what_was_filed_is_equal_with_another_numpy(which, sqlite_environment, tmp_path):
    installed_beside(tmp_path / "numpy", f"numpy=={oldest()}" if which == "oldest" else "numpy")
    filed_with = python(PREPARE, sqlite_environment)

    other = with_numpy(sqlite_environment, tmp_path / "numpy")
    found = python(AGAIN, other)

    assert found["differences"] == []
    assert found["kept"] >= 3
    assert filed_with
    if which == "oldest":
        assert found["numpy"] == oldest()


@pytest.mark.slow
def test_what_the_oldest_numpy_files_is_equal_with_the_installed_one(sqlite_environment, tmp_path):
    installed_beside(tmp_path / "numpy", f"numpy=={oldest()}")

    assert python(PREPARE, with_numpy(sqlite_environment, tmp_path / "numpy")) == oldest()

    assert python(AGAIN, sqlite_environment)["differences"] == []
