"""A submitted filing is refused every change: by form, API, shell, query set, SQL, and replacing it by its own key."""

import pytest
from django.db import DatabaseError, connection, transaction
from django.urls import reverse

from outreach.filings.models import Filing, FilingLine
from outreach.staff.roles import Role
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
ON_SQLITE = pytest.mark.skipif(connection.vendor != "sqlite", reason="INSERT OR REPLACE is SQLite's")


@pytest.fixture
def filing():
    return submit(programme(households=6, answers=2))


def stored():
    """Every column of every filing and line, as the database has it."""
    filings = list(Filing.objects.order_by("pk").values_list())
    return filings, list(FilingLine.objects.order_by("pk").values_list())


def refused(change):
    before = stored()
    with pytest.raises(DatabaseError, match="never changed or removed"), transaction.atomic():
        change()
    assert stored() == before


def test_saving_from_a_shell(filing):
    filing.reasons = "other"
    refused(filing.save)
    refused(lambda: filing.save(update_fields=["reasons"]))
    refused(lambda: filing.save(force_update=True))


def test_deleting_from_a_shell(filing):
    # Its lines point at it, so they are asked first; a filing without lines is refused by its own trigger.
    line = filing.lines.first()
    refused(line.delete)
    refused(lambda: filing.lines.all()._raw_delete("default"))
    refused(lambda: Filing.objects.all()._raw_delete("default"))


@pytest.mark.parametrize("model", [Filing, FilingLine])
def test_a_query_set(filing, model):
    name, value = ("title", "other") if model is Filing else ("days", 1)
    refused(lambda: model.objects.update(**{name: value}))

    row = model.objects.first()
    setattr(row, name, value)
    refused(lambda: model.objects.bulk_update([row], [name]))


@pytest.mark.parametrize("table", ["filings_filing", "filings_filingline"])
@pytest.mark.parametrize("statement", ["UPDATE {} SET id = id + 1000", "DELETE FROM {}"])
def test_plain_sql(filing, table, statement):
    def run():
        with connection.cursor() as cursor:
            cursor.execute(statement.format(table))

    refused(run)


@ON_SQLITE
@pytest.mark.parametrize("model", [Filing, FilingLine])
@pytest.mark.parametrize("verb", ["INSERT OR REPLACE", "REPLACE"])
def test_replacing_a_row_by_its_key(filing, model, verb):
    table = model._meta.db_table
    columns = ", ".join(f'"{field.column}"' for field in model._meta.concrete_fields)

    def run():
        with connection.cursor() as cursor:
            cursor.execute(f"{verb} INTO {table} ({columns}) SELECT {columns} FROM {table} LIMIT 1")

    refused(run)


@pytest.mark.skipif(
    connection.vendor != "postgresql", reason="On SQLite it is refused as a replacement above"
)
def test_an_upsert_on_postgresql(filing):
    def run():
        with connection.cursor() as cursor:
            cursor.execute(
                "INSERT INTO filings_filing SELECT * FROM filings_filing ON CONFLICT (id) DO UPDATE SET title = 'other'"
            )

    refused(run)


def test_every_address_of_a_filing(filing, as_role):
    """Whatever an administrator posts to any page of it, it stays as it was."""
    from tests.staff.test_admission import patterns

    client, before = as_role(Role.ADMINISTRATOR), stored()
    addresses = {
        reverse(one.name, args=[filing.pk])
        for one in patterns()
        if one.name and one.name.startswith(("filing", "api_filing")) and "<int:pk>" in str(one.pattern)
    }
    assert len(addresses) > 15

    for address in sorted(addresses):
        for method in (client.post, client.put, client.patch, client.delete):
            method(address, {"title": "other", "reasons": "other"}, content_type="application/json")

    assert stored() == before


def test_submitting_the_same_quarter_again_leaves_the_first_as_it_was(filing):
    before = stored()

    submit(filing.jurisdiction, restates=filing, reasons="An answer was found.")

    filings, lines = stored()
    assert filings[0] == before[0][0]
    assert lines[: len(before[1])] == before[1]
