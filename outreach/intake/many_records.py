"""Saving thousands of new records of one model, each with its number, as quickly as the database can."""

from collections.abc import Sequence

from django.db import connection, models

from outreach.staff import many_rows

PIECE = 2_000


def save_all(records: Sequence[models.Model]) -> None:
    """Insert unsaved records and give each its number.

    SQLite takes so few parameters a statement that `bulk_create` spends its time on compiling SQL; but
    there the whole database is ours until the transaction ends, so one prepared statement does it.
    """
    if not records:
        return
    manager = type(records[0])._default_manager
    if connection.vendor == "sqlite":
        many_rows.insert_records(records, among=manager.all())
    else:
        manager.bulk_create(records, batch_size=PIECE)
