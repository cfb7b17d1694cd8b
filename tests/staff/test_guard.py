"""Append-only tables refuse every way of changing or removing a row."""

import uuid
from io import StringIO

import pytest
from django.core.management import call_command
from django.core.management.base import SystemCheckError
from django.db import IntegrityError, connection, models, transaction
from django.utils import timezone

from outreach.bins.models import StockMovement, StockPlace
from outreach.staff import guard
from tests.factories.bins import make_bin_model

SENTENCE = "A stock movement is never changed or removed"


@pytest.fixture
def movement(db):
    suppliers, _ = StockPlace.objects.get_or_create(kind="suppliers", defaults={"name": "Some suppliers"})
    store = StockPlace.objects.create(name="Some shed")
    return StockMovement.objects.create(
        bin_model=make_bin_model(),
        quantity=3,
        from_place=suppliers,
        to_place=store,
        why="received",
        moved_on="2025-04-01",
        entered_at=timezone.now(),
    )


def run(statement, *values):
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(statement, values)


@pytest.mark.postgres
def test_an_update_is_refused_in_one_sentence(movement):
    with pytest.raises(IntegrityError, match=SENTENCE):
        run("UPDATE bins_stockmovement SET quantity = 4 WHERE id = %s", movement.pk)

    movement.refresh_from_db()
    assert movement.quantity == 3


@pytest.mark.postgres
def test_saving_and_deleting_through_the_orm_is_refused(movement):
    movement.quantity = 4
    with pytest.raises(IntegrityError, match=SENTENCE), transaction.atomic():
        movement.save()
    with pytest.raises(IntegrityError, match=SENTENCE), transaction.atomic():
        movement.delete()

    assert StockMovement.objects.get().quantity == 3


@pytest.mark.postgres
def test_a_delete_is_refused(movement):
    with pytest.raises(IntegrityError, match=SENTENCE):
        run("DELETE FROM bins_stockmovement")

    assert StockMovement.objects.count() == 1


@pytest.mark.parametrize("key", ["id", "event_id"])
@pytest.mark.skipif(connection.vendor != "sqlite", reason="INSERT OR REPLACE is SQLite's")
def test_replacing_by_any_key_is_refused(movement, key):
    """INSERT OR REPLACE removes the old row without asking a delete trigger."""
    columns = [field.column for field in StockMovement._meta.concrete_fields]
    other = {"id": movement.pk + 1, "event_id": uuid.uuid4().hex, "quantity": 99}
    del other[key]
    values = ", ".join(f"'{other[c]}'" if c in other else c for c in columns if c != "id" or key != "id")
    chosen = f"id, {values}" if key == "id" else values

    with pytest.raises(IntegrityError, match=SENTENCE):
        run(
            f"INSERT OR REPLACE INTO bins_stockmovement ({', '.join(columns)}) "
            f"SELECT {chosen} FROM bins_stockmovement"
        )

    assert StockMovement.objects.get().quantity == 3


@pytest.mark.postgres
@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has no TRUNCATE")
def test_truncating_is_refused(movement):
    with pytest.raises(IntegrityError, match=SENTENCE):
        run("SET CONSTRAINTS ALL IMMEDIATE; TRUNCATE bins_stockmovement CASCADE")


@pytest.mark.postgres
def test_adding_goes_on(movement):
    StockMovement.objects.create(
        bin_model=movement.bin_model,
        quantity=1,
        from_place=movement.from_place,
        to_place=movement.to_place,
        why="received",
        moved_on="2025-04-02",
        entered_at=timezone.now(),
    )

    assert StockMovement.objects.count() == 2


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_the_triggers_come_back_after_the_table_was_rebuilt():
    """Altering a column makes SQLite copy the table and drop the old one with its triggers."""
    wider = models.CharField(max_length=61, blank=True, db_index=True)
    wider.set_attributes_from_name("lot")
    with connection.schema_editor() as editor:
        editor.alter_field(StockMovement, StockMovement._meta.get_field("lot"), wider)
    lost_on_sqlite = bool(guard.look(databases=["default"]))

    call_command("migrate", verbosity=0)

    assert lost_on_sqlite == (connection.vendor == "sqlite")
    assert guard.look(databases=["default"]) == []
    with connection.schema_editor() as editor:
        editor.alter_field(StockMovement, wider, StockMovement._meta.get_field("lot"))
    call_command("migrate", verbosity=0)


@pytest.mark.postgres
@pytest.mark.django_db(transaction=True)
def test_the_system_check_misses_a_trigger_that_is_gone():
    on = " ON bins_stockmovement" if connection.vendor == "postgresql" else ""
    run(f"DROP TRIGGER bins_stockmovement_update_refused{on}")

    with pytest.raises(SystemCheckError, match="bins_stockmovement_update_refused"):
        call_command("check", databases=["default"], stderr=StringIO())

    call_command("migrate", verbosity=0)
    call_command("check", databases=["default"], stdout=StringIO())


@pytest.mark.postgres
def test_the_tables_that_must_never_change_are_guarded():
    assert {m._meta.label for m in guard.guarded_models()} == {
        "bins.StockCount",
        "bins.StockMovement",
        "disclosure.Disclosure",
        "disclosure.Handover",
        "door.Closing",
        "door.DoorEvent",
        "ending.EndStep",
        "filings.Filing",
        "filings.FilingLine",
        "funding.HourRate",
        "households.Consent",
        "households.Forgotten",
        "households.RetentionRun",
        "households.RetentionSchedule",
        "post.TextVersion",
        "workshops.WaiverText",
    }


@pytest.mark.postgres
def test_the_guard_is_back_after_it_was_lifted(movement):
    with guard.lifted():
        assert guard.look(databases=["default"])

    assert guard.look(databases=["default"]) == []
