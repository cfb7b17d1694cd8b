"""Several tables hand bins out at once, in processes of their own, from one shelf.

25 bins, 4 processes with 10 households each, and one household that all four try to serve: just 25 bins
leave, one place is taken, nobody is told that the database is locked.
"""

import datetime
import json
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
HOUSEHOLDS_EACH, PROCESSES, BINS = 10, 4, 25

PREPARE = """
import datetime, django
django.setup()
from django.core.management import call_command
call_command("migrate", verbosity=0)
from outreach.bins import ledger
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
by, town = make_member(username="crew"), make_jurisdiction()
at = datetime.datetime(2025, 5, 9, 18, tzinfo=datetime.UTC)
ledger.receive(bin_model=make_bin_model(name="Mesh"), quantity=%d, to_place=make_stock_place(name="Van"),
    received_on=at.date(), by=by, at=at)
for _ in range(%d):
    make_household(jurisdiction=town)
"""

HAND_OUT = """
import datetime, json, sys, time, django
django.setup()
from django.core.exceptions import ValidationError
from outreach.bins import handing_out
from outreach.bins.models import BinModel, StockPlace
from outreach.households.models import Household
from outreach.staff.models import StaffMember
number, starts = int(sys.argv[1]), float(sys.argv[2])
households = list(Household.objects.order_by("pk"))
mine = [households[-1]] + households[number * %d:(number + 1) * %d]
facts = {"bin_model": BinModel.objects.get(name="Mesh"), "from_place": StockPlace.objects.get(name="Van"),
    "by": StaffMember.objects.get(), "handed_on": datetime.date(2025, 5, 9),
    "at": datetime.datetime(2025, 5, 9, 18, tzinfo=datetime.UTC)}
time.sleep(max(0, starts - time.time()))
said = []
for household in mine:
    try:
        handing_out.hand_out(household=household, **facts)
        said.append("handed out")
    except ValidationError as refused:
        said.append(refused.code or refused.messages[0])
    except Exception as unexpected:
        said.append(repr(unexpected))
print(json.dumps(said))
"""

COUNT = """
import json, django
django.setup()
from outreach.bins.models import Handout, Stay, StockBalance
from outreach.households.models import Household
contested = Household.objects.order_by("pk").last()
print(json.dumps({"handouts": Handout.objects.count(), "places": Handout.objects.filter(slot=1).count(),
    "contested": Handout.objects.filter(household=contested).count(), "stays": Stay.objects.count(),
    "on_hand": StockBalance.objects.get().on_hand}))
"""


def python(code, environment, *arguments):
    command = [sys.executable, "-c", code, *arguments]
    return subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True)


def answer(process):
    output, _ = process.communicate(timeout=300)
    assert process.returncode == 0
    return json.loads(output) if output.strip() else None


@pytest.mark.slow
def test_on_sqlite_just_the_bins_there_are_leave(sqlite_environment):
    just_the_bins_there_are_leave(sqlite_environment)


@pytest.mark.slow
@pytest.mark.postgres
def test_on_postgresql_just_the_bins_there_are_leave(postgres_environment):
    just_the_bins_there_are_leave(postgres_environment)


def just_the_bins_there_are_leave(environment):
    answer(python(PREPARE % (BINS, PROCESSES * HOUSEHOLDS_EACH + 1), environment))
    starts = str(datetime.datetime.now(datetime.UTC).timestamp() + 12)

    code = HAND_OUT % (HOUSEHOLDS_EACH, HOUSEHOLDS_EACH)
    tables = [python(code, environment, str(number), starts) for number in range(PROCESSES)]
    said = [word for table in tables for word in answer(table)]

    assert said.count("handed out") == BINS
    assert set(said) <= {"handed out", "none_on_ledger", "second_bin"}
    assert answer(python(COUNT, environment)) == {
        "handouts": BINS,
        "places": BINS,
        "contested": 1,
        "stays": BINS,
        "on_hand": 0,
    }
