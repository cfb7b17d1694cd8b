"""Four tablets check people in at once, against a view of the same site that inserts one row.

A check-in is one request with one event, on a real server: stored in one transaction,
folded into the record in another. The aim is a p95 of at most 5 × the bare insert's. Ratios are printed; what is
asserted is only that no order of magnitude has been lost.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from tests.faults.test_door_storm import PREPARE, Server, heard_of
from tests.other_databases import python

ROOT = Path(__file__).parents[2]
TABLETS, EACH = 4, 100
pytestmark = pytest.mark.benchmark
SERVE = """
import sys, django
from django.conf import settings
settings.ROOT_URLCONF = "tests.benchmarks.one_insert"
django.setup()
from django.core.management import call_command
call_command("serve", port=int(sys.argv[1]), no_worker=True)
"""


class BothServer(Server):
    """The site, and the bare view beside it."""

    def command(self):
        return [sys.executable, "-c", SERVE, str(self.port)]


def seconds_of(server, environment, there, **differences):
    """How long each tablet waited for each of its answers."""
    tablets = []
    for number in range(TABLETS):
        acts = [
            {"kind": "arrived", "body": {"participant": participant, "party": 1}}
            for participant in there["people"][number::TABLETS][:EACH]
        ]
        plan = {
            "token": f"tablet-{number}",
            "workshop": there["workshop"],
            "by": f"Tablet {number}",
            "seed": number,
            "acts": acts,
            "calmly": True,
        }
        tablet = subprocess.Popen(
            [sys.executable, "-m", "tests.faults.door_device", str(server.port)],
            cwd=ROOT,
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        tablet.stdin.write(json.dumps(plan | differences))
        tablet.stdin.close()
        tablets.append(tablet)
    told = [heard_of(tablet) for tablet in tablets]
    for said in told:
        assert (said["bad"], said["left"]) == ([], 0)
    return [said["seconds"] for said in told]


def p95(seconds):
    return sorted(seconds)[int(0.95 * len(seconds))]


@pytest.mark.parametrize("database", ["sqlite_environment", "postgres_environment"])
def test_a_check_in_beside_one_insert(database, request, capsys):
    environment = request.getfixturevalue(database)
    there = python(PREPARE % (1, TABLETS * EACH, TABLETS), environment)
    server = BothServer(environment)
    server.start()
    try:
        seconds_of(server, environment, there, path="/one-insert", acts=[{"kind": "warm", "body": {}}] * 5)
        bare = seconds_of(server, environment, there, path="/one-insert")
        door = seconds_of(server, environment, there)
    finally:
        server.kill()

    of_all = [p95([second for tablet in tablets for second in tablet]) for tablets in (door, bare)]
    worst = [max(p95(tablet) for tablet in tablets) for tablets in (door, bare)]
    slowest = [max(max(tablet) for tablet in tablets) for tablets in (door, bare)]
    with capsys.disabled():
        print(
            f"\n{database}: {TABLETS} tablets × {EACH} check-ins: p95 {of_all[0] * 1000:.0f} ms,"
            f" bare {of_all[1] * 1000:.0f} ms, ratio {of_all[0] / of_all[1]:.1f} (aim 5);"
            f" the worst-served tablet's p95 {worst[0] / worst[1]:.1f};"
            f" the slowest answer {slowest[0] * 1000:.0f} ms, {slowest[0] / slowest[1]:.1f}"
        )
    assert of_all[0] / of_all[1] < 50
