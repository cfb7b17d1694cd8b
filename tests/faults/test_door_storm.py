"""Four tablets check people in and hand out bins while the server is killed with -9 again and again.

4 processes × 200 check-ins, half of them with a bin, against `manage.py serve`. Every fifth person is
checked in, and given a bin, by two tablets. The server is killed and started again 20 times at random (seeded) moments.
"""

import json
import random
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import uuid
from pathlib import Path

import pytest

from tests.other_databases import python

ROOT = Path(__file__).parents[2]
TABLETS, CHECK_INS, KILLS, SEED = 4, 200, 20, 20250509
WALK_INS_EACH = 20
BINS = TABLETS * CHECK_INS

PREPARE = """
import datetime, json, django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from django.utils import timezone
from outreach.door.codes import token_digest
from tests.factories.bins import make_bin_model, make_rule
from tests.factories.door import make_device, make_table
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_served_place
from tests.factories.workshops import make_registration, make_workshop
from outreach.bins import ledger
now = timezone.now()
town = make_served_place(city_name="Quillby", zip_code="00071").jurisdiction
workshop = make_workshop(held_on=timezone.localdate(), jurisdiction=town, seats=2000)
mesh = make_bin_model()
place = make_table(workshop, bins=%d, bin_model=mesh)
make_rule()
people = [make_participant(household=make_household(jurisdiction=town)) for _ in range(%d)]
for person in people:
    make_registration(workshop=workshop, participant=person, registered_at=now)
for number in range(%d):
    make_device(workshop=workshop, by_name=f"Tablet {number}", token_digest=token_digest(f"tablet-{number}"),
        opened_at=now, last_seen_at=now, expires_at=now + datetime.timedelta(days=2))
print(json.dumps({"workshop": workshop.pk, "model": mesh.pk, "people": [person.pk for person in people]}))
"""

COUNT = """
import json, django
django.setup()
from django.db.models import Count, Q
from outreach.bins import keeping
from outreach.bins.models import Handout, StockBalance, StockMovement
from outreach.door.models import DoorEvent, EventOutcome
from outreach.households.models import Household, Participant
from outreach.workshops.models import Registration
standing = Handout.objects.standing().order_by()
print(json.dumps({
    "events": sorted(str(pk) for pk in DoorEvent.objects.values_list("pk", flat=True)),
    "states": dict(EventOutcome.objects.order_by().values_list("state").annotate(Count("pk"))),
    "came": Registration.objects.who_came().count(),
    "households": Household.objects.count(),
    "people": Participant.objects.count(),
    "handouts": sorted(str(one) for one in standing.values_list("event_id", flat=True)),
    "served": standing.values("counted_under").distinct().count(),
    "most_unexcused": max(standing.filter(exception=None).values_list("counted_under").annotate(n=Count("pk"))
        .values_list("n", flat=True), default=0),
    "waiting": list(EventOutcome.objects.held().values_list("words", flat=True)[:5]),
    "exceptions": standing.filter(exception__isnull=False).count(),
    "on_hand": StockBalance.objects.get(place__kind="store").on_hand,
    "out": StockMovement.objects.filter(why="handed_out").count(),
    "differ": [*keeping.balances_that_differ(), *keeping.stays_that_differ()],
}))
"""


class Server:
    """`manage.py serve`, killed and started again."""

    def __init__(self, environment):
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = probe.getsockname()[1]
        self.environment, self.process = environment, None

    def command(self):
        return [sys.executable, "manage.py", "serve", "--no-worker", "--port", str(self.port)]

    def start(self):
        self.process = subprocess.Popen(
            self.command(),
            cwd=ROOT,
            env=self.environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        until = time.monotonic() + 90
        while time.monotonic() < until:
            try:
                # Refused without a token, once everything is loaded.
                urllib.request.urlopen(f"http://127.0.0.1:{self.port}/api/door/roster", timeout=30)
            except urllib.error.HTTPError as answer:
                answer.close()
                return
            except OSError:
                time.sleep(0.05)
        raise TimeoutError("The server does not answer.")

    def kill(self):
        self.process.send_signal(signal.SIGKILL)
        self.process.wait()


def plan(number, there):
    """What one tablet does: its own share of the people, and every fifth of everybody's."""
    chance = random.Random(SEED + number)
    people, acts = there["people"], []
    mine = people[number::TABLETS]
    contested = people[::5][: CHECK_INS - WALK_INS_EACH - len(mine)]
    for participant in [*mine, *contested]:
        acts.append({"kind": "arrived", "body": {"participant": participant, "party": 1}})
        if participant in contested or chance.random() < 0.4:
            acts.append(bin_given({"participant": participant}, there, chance))
    for walk_in in range(WALK_INS_EACH):
        # The first half comes to every tablet.
        street = (
            f"{walk_in + 1} Weir Street"
            if walk_in < WALK_INS_EACH // 2
            else f"{walk_in + 1}{number} Weir Street"
        )
        person = str(uuid.UUID(int=chance.getrandbits(128), version=4))
        body = {"person": person, "name": f"Walk In{chr(65 + walk_in)}", "street": street, "city": "Quillby"}
        acts.append({"kind": "walked_in", "body": body | {"zip": "00071", "party": 1, "language": "en"}})
        acts.append(bin_given({"person": person}, there, chance))
    return {
        "token": f"tablet-{number}",
        "workshop": there["workshop"],
        "by": f"Tablet {number}",
        "acts": acts,
        "seed": SEED + number,
    }


def bin_given(who, there, chance):
    handout = str(uuid.UUID(int=chance.getrandbits(128), version=4))
    copay = {"how": "cash", "cents": 1500}
    return {"kind": "bin_given", "body": who | {"handout": handout, "model": there["model"], "copay": copay}}


def storm(environment, capsys):
    listed = TABLETS * (CHECK_INS - WALK_INS_EACH) * 5 // 9
    there = python(PREPARE % (BINS, listed, TABLETS), environment)
    plans = [plan(number, there) for number in range(TABLETS)]
    chance, server = random.Random(SEED), Server(environment)
    server.start()
    command = [sys.executable, "-m", "tests.faults.door_device", str(server.port)]
    tablets = []
    for one in plans:
        tablet = subprocess.Popen(
            command, cwd=ROOT, env=environment, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
        )
        tablet.stdin.write(json.dumps(one))
        tablet.stdin.close()
        tablets.append(tablet)
    try:
        kills = kill_again_and_again(server, tablets, chance)
        told = [heard_of(tablet) for tablet in tablets]
    finally:
        server.kill()
        for tablet in tablets:
            tablet.kill()
    found = python(COUNT, environment)
    seconds = sorted(second for one in told for second in one["seconds"])
    with capsys.disabled():
        print(
            f"\n{len(found['events'])} events of {TABLETS} tablets, {kills} kills, cut off"
            f" {sum(one['cut_off'] for one in told)} times; {len(seconds)} answers"
        )
    return plans, told, found, kills


def heard_of(tablet):
    """What a tablet prints when everything it did is named."""
    with tablet.stdout as told:
        said = json.loads(told.read())
    tablet.wait(timeout=60)
    return said


def kill_again_and_again(server, tablets, chance):
    """At a random moment, while every tablet has things to send; it is up again before the next."""
    kills = 0
    while kills < KILLS and all(tablet.poll() is None for tablet in tablets):
        time.sleep(chance.uniform(0.1, 0.9))
        server.kill()
        kills += 1
        server.start()
    return kills


def nothing_is_lost_or_doubled(plans, told, found, kills):
    acts = [act for one in plans for act in one["acts"]]
    given = [act["body"]["handout"] for act in acts if act["kind"] == "bin_given"]
    streets = {act["body"]["street"] for act in acts if act["kind"] == "walked_in"}
    named = {act["body"]["participant"] for act in acts if act["kind"] == "arrived"}

    assert kills == KILLS
    assert [one["bad"] for one in told] == [[]] * TABLETS, "no answer but 200, and none says locked"
    assert [one["left"] for one in told] == [0] * TABLETS
    assert found["events"] == sorted(number for one in told for number in one["sent"])
    assert found["waiting"] == []
    assert found["states"] == {"applied": len(acts)}
    assert found["came"] == len(named) + len(streets)
    assert found["people"] == found["households"]
    assert found["handouts"] == sorted(given)
    assert found["most_unexcused"] == 1
    assert found["exceptions"] == len(given) - found["served"]
    assert found["exceptions"] > 0
    assert (found["out"], found["on_hand"]) == (len(given), BINS - len(given))
    assert found["on_hand"] >= 0
    assert found["differ"] == []


@pytest.mark.slow
def test_on_sqlite_nothing_is_lost_or_doubled(sqlite_environment, capsys):
    nothing_is_lost_or_doubled(*storm(sqlite_environment, capsys))


@pytest.mark.slow
@pytest.mark.postgres
def test_on_postgresql_nothing_is_lost_or_doubled(postgres_environment, capsys):
    nothing_is_lost_or_doubled(*storm(postgres_environment, capsys))
