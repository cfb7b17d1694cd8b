"""The list of who was forgotten that lies beside the database, so that a backup put back forgets them again.

It holds numbers only, one line of JSON for each act. A backup knows who was forgotten before it was made;
this list knows the rest.
"""

import json
import os
import uuid
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection, transaction

from outreach.households.forgotten_models import Forgotten
from outreach.households.models import Household, Participant

FILE_NAME = "forgotten.jsonl"


def path() -> Path:
    return settings.VAR / FILE_NAME


def add(act: Forgotten) -> None:
    """Write the act down once it stands."""
    line = {
        "key": str(act.key),
        "people": act.people,
        "homes": act.homes,
        "schedule": act.schedule,
        "at": act.forgotten_at.isoformat(),
    }
    transaction.on_commit(lambda: _append(json.dumps(line)))


def _append(line: str) -> None:
    if path().exists() and line in path().read_text(encoding="utf-8").splitlines():
        return
    with path().open("a", encoding="utf-8") as file:
        file.write(line + "\n")
        file.flush()
        os.fsync(file.fileno())
    path().chmod(0o600)


def acts() -> Iterator[Forgotten]:
    """Every act that is written down, as a row to be."""
    if not path().exists():
        return
    for line in path().read_text(encoding="utf-8").splitlines():
        said = json.loads(line)
        yield Forgotten(
            key=uuid.UUID(said["key"]),
            people=said["people"],
            homes=said["homes"],
            schedule=said["schedule"],
            forgotten_at=datetime.fromisoformat(said["at"]),
        )


def repeat_all(at: datetime) -> int:
    """Forget again whoever the database put back does not know as forgotten; return how many acts."""
    from outreach.households import forgetting

    known = Forgotten.objects.keys()
    missed = [act for act in acts() if act.key not in known]
    for act in missed:
        forgetting.repeat(act)
    _never_give_again(missed)
    return len(missed)


def _never_give_again(acts: list[Forgotten]) -> None:
    """Records made from now on get higher numbers than any forgotten one, so that no list names them."""
    for model, numbers in (
        (Participant, [number for act in acts for number in act.people]),
        (Household, [number for act in acts for number in act.homes]),
    ):
        if numbers:
            _count_on_from(model._meta.db_table, max(numbers))


def _count_on_from(table: str, number: int) -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("UPDATE sqlite_sequence SET seq = MAX(seq, %s) WHERE name = %s", [number, table])
            return
        cursor.execute(
            "SELECT setval(pg_get_serial_sequence(%s, 'id'), GREATEST(%s, "
            "nextval(pg_get_serial_sequence(%s, 'id'))))",
            [table, number, table],
        )
