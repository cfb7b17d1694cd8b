"""A workbook of many records: streamed in flat memory, with progress, by whoever works the queue."""

import contextlib
import datetime
import tracemalloc

import openpyxl
import pytest

from outreach.bins.models import Handout
from outreach.filings.documents.rows import ROWS_AT_ONCE, write_rows
from tests.factories.bins import make_bin_model
from tests.factories.households import make_household
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
MANY, FEW = 20_000, 4_000
AT = datetime.datetime(2025, 5, 10, 18, tzinfo=datetime.UTC)


def take_home(count, place):
    """So many bins, none of them subsidised, to one household of the place."""
    household, model = make_household(jurisdiction=place), make_bin_model()
    Handout.objects.bulk_create(
        (
            Handout(
                household=household,
                counted_under=household,
                bin_model=model,
                handed_on=AT.date(),
                happened_at=AT,
                entered_at=AT,
                is_subsidised=False,
                lot=f"lot {number}",
            )
            for number in range(count)
        ),
        batch_size=2_000,
    )


def peak_of(write, path):
    tracemalloc.start()
    with path.open("wb") as target:
        write(target)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


def rows_in(path, sheet):
    with contextlib.closing(openpyxl.load_workbook(path, read_only=True)) as book:
        return sum(1 for _row in book[sheet].rows)


def test_records_stream_in_flat_memory_and_say_how_far_they_are(tmp_path):
    place, told = programme(), []
    filing = submit(place)

    def write(target):
        watch = lambda done, of: told.append((done, of))  # noqa: E731
        write_rows(filing, target, with_contact_data=True, watch=watch)

    take_home(FEW, place)
    few = peak_of(write, tmp_path / "few.xlsx")
    take_home(MANY - FEW, place)
    told.clear()
    many = peak_of(write, tmp_path / "many.xlsx")

    assert rows_in(tmp_path / "many.xlsx", "Handouts") == MANY + 1
    assert many < few + 4e6
    assert len(told) > MANY / ROWS_AT_ONCE
    assert [done for done, _of in told] == sorted(done for done, _of in told)
    assert told[-1][0] == told[-1][1] >= MANY
