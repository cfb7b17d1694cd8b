"""The migration that gave filings periods rebuilds guarded tables: filings stay equal, and the guard is there again."""

import datetime

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from outreach.filings import periods, submitting, verifying
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing
from outreach.staff import guard
from tests.factories.staff import make_member
from tests.filings.programmes import programme

AT = datetime.datetime(2025, 8, 20, 12, tzinfo=datetime.UTC)
BEFORE = "0004_keep_browns_of_each_line"
SENTENCE = "A submitted filing is never changed or removed"
pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.postgres]


@pytest.fixture
def migrated_filing():
    """Filed, taken back to the tables of before, and migrated again."""
    act = submitting.Act(by=make_member(), at=AT, cut_off=AT.date())
    period = periods.calendar_quarter(periods.read_quarter("2025-Q2"))
    scope = Scope(jurisdiction=programme())
    filing = submitting.submit(period=period, scope=scope, choices={}, act=act)
    try:
        call_command("migrate", "filings", BEFORE, verbosity=0)
        assert columns_of("filings_filing") >= {"quarter"}
        assert not columns_of("filings_filingline") & {"span"}
    finally:
        call_command("migrate", verbosity=0)
    return filing


def columns_of(table):
    with connection.cursor() as cursor:
        return {one.name for one in connection.introspection.get_table_description(cursor, table)}


def refused(statement):
    with pytest.raises(IntegrityError, match=SENTENCE), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement)


def test_what_was_filed_before_is_equal_and_cannot_be_changed(migrated_filing):
    again = Filing.objects.get()

    assert (again.period, again.report_sha256) == ("2025-Q2", migrated_filing.report_sha256)
    assert verifying.verify(again) == []
    assert again.filed_period.slices == migrated_filing.filed_period.slices
    assert again.period_lines.count() == 24
    assert guard.look(databases=["default"]) == []
    for table in ("filings_filing", "filings_filingline"):
        refused(f"UPDATE {table} SET id = id")
        refused(f"DELETE FROM {table}")
        if connection.vendor == "sqlite":
            columns = ", ".join(sorted(columns_of(table)))
            refused(f"INSERT OR REPLACE INTO {table} ({columns}) SELECT {columns} FROM {table}")
    assert verifying.verify(Filing.objects.get()) == []
