"""Taking in a sheet of 5,000 rows: how long the records are locked, against bare inserts of the same rows.

The aim is under 2 s on a machine that does nothing else. Seconds and ratio are printed; what is asserted
is only that no order of magnitude has been lost.
"""

import time
from datetime import UTC, datetime

import pytest
from django.apps import apps
from django.db import connection

from outreach.intake import writing
from outreach.intake.taking_in import take_in
from tests.factories.paperwork import PLACES, make_csv

AT = datetime(2026, 9, 1, 18, tzinfo=UTC)
ROWS = 5_000
STREETS = ("Reed St", "Alder Street", "Fern Ave", "Gull Lane", "Kelp Ct.")
TABLES = (
    "households.Household",
    "households.Participant",
    "workshops.Registration",
    "bins.Handout",
    "bins.StockMovement",
    "bins.Stay",
    "bins.RuleException",
    "intake.PaperworkRow",
    "intake.IntakeMade",
)
pytestmark = [pytest.mark.benchmark, pytest.mark.django_db]


def a_large_sheet() -> bytes:
    rows = [
        [
            f"Ada Testname{chr(65 + n % 26)}{n}",
            f"{n + 1} {STREETS[n % len(STREETS)]}",
            "Tidewell",
            "00431",
            f"person{n}@example.org",
            "y" if n % 2 else "n",
            "Mesh ring 90 gal",
        ]
        for n in range(ROWS)
    ]
    title = ["Date: 3/1/2025", "Location: Harbor Annex, Tidewell"]
    return make_csv([title, ["Name", "Address", "City", "ZIP", "Email", "Bin", "Bin type"], *rows])


def copied_bare() -> float:
    """Seconds to write the same rows again into empty tables of the same columns, without any of us."""
    spent = 0.0
    with connection.cursor() as cursor:
        for label in TABLES:
            model = apps.get_model(label)
            fields = [field for field in model._meta.concrete_fields if not field.generated]
            columns = ", ".join(connection.ops.quote_name(field.column) for field in fields)
            table = connection.ops.quote_name(model._meta.db_table)
            cursor.execute(f"SELECT {columns} FROM {table}")
            rows = cursor.fetchall()
            cursor.execute(f"CREATE TEMP TABLE bare AS SELECT {columns} FROM {table} LIMIT 0")
            marks = ", ".join(["%s"] * len(fields))
            begun = time.process_time()
            cursor.executemany(f"INSERT INTO bare VALUES ({marks})", rows)
            spent += time.process_time() - begun
            cursor.execute("DROP TABLE bare")
    return spent


def test_a_sheet_of_5000_rows_locks_the_records_for_a_moment_only(settings, tmp_path, monkeypatch, capsys):
    if connection.vendor != "sqlite":
        pytest.skip("the lock that everybody waits for is SQLite's")
    settings.MEDIA_ROOT = tmp_path
    take_in([("places.csv", PLACES)], by=None, at=AT)
    spent = {}
    write = writing._write

    def timed(*arguments):
        begun, begun_cpu = time.perf_counter(), time.process_time()
        try:
            return write(*arguments)
        finally:
            spent["wall"] = time.perf_counter() - begun
            spent["cpu"] = time.process_time() - begun_cpu

    monkeypatch.setattr(writing, "_write", timed)
    begun = time.process_time()
    counts = take_in([("large.csv", a_large_sheet())], by=None, at=AT).counts
    whole = time.process_time() - begun

    bare = copied_bare()

    assert counts["attendances"] == ROWS
    with capsys.disabled():
        print(
            f"\n5,000 rows: {whole:.1f} s of work in all, of it {spent['cpu']:.2f} s ({spent['wall']:.2f} s by the"
            f" clock) with the records locked; bare inserts of the same rows {bare:.2f} s,"
            f" ratio {spent['cpu'] / bare:.1f}"
        )
    assert spent["cpu"] / bare < 40
