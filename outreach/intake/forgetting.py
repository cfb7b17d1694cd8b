"""Paperwork when people are forgotten: cells emptied, and the file replaced by a copy without their rows."""

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

from django.core.files.storage import default_storage
from django.db import transaction
from django.db.models import Q, QuerySet

from outreach.households.emails import read_email
from outreach.households.forgetting_rows import Rows
from outreach.households.models import Participant
from outreach.households.names import read_name
from outreach.households.phones import phone_key
from outreach.households.whom import Whom
from outreach.intake.keeping import bytes_of, keep
from outreach.intake.models import PaperworkFile, PaperworkRow
from outreach.intake.opening import digest
from outreach.intake.redacting import CannotRedact, redacted
from outreach.places.addresses import read_address
from outreach.staff.audit import MASK


class TheirRows:
    """Tells whether a row of cells is about one of them: by e-mail or phone, by name and street, or by a
    name that nobody else on record has."""

    def __init__(self, whom: Whom) -> None:
        self.whom = whom
        self.emails = {email.casefold() for email in whom.emails}
        self.phones = {key for phone in whom.phones if (key := phone_key(phone))}
        shared = Participant.objects.exclude(pk__in=whom.people).filter(name_key__in=whom.name_keys)
        self.own_names = whom.name_keys - set(shared.values_list("name_key", flat=True))

    def __call__(self, cells: Any) -> bool:
        texts = [str(cell) for cell in cells if cell not in (None, "")]
        if any(self._reaches(text) for text in texts):
            return True
        names = {read_name(text).name_key for text in texts}
        names |= {read_name(first=one, last=two).name_key for one, two in pairwise(texts)}
        named = names & self.whom.name_keys
        return bool(named & self.own_names) or bool(named and self._lives_there(texts))

    def _reaches(self, text: str) -> bool:
        if self.whom.pattern is not None and self.whom.emails and read_email(text).casefold() in self.emails:
            return True
        return bool(self.phones) and phone_key(text) in self.phones

    def _lives_there(self, texts: list[str]) -> bool:
        streets = {read_address(text).street_key for text in texts if any(map(str.isdigit, text))}
        return bool(streets & self.whom.street_keys)


class Paperwork:
    """Cells of their rows, and the rows in the files themselves."""

    covers = frozenset(
        ["intake.PaperworkRow.sheet", "intake.PaperworkRow.cells", "intake.PaperworkRow.resolution"]
    )

    def forget(self, whom: Whom) -> dict[str, int]:
        is_theirs = TheirRows(whom)
        made = set(_made_theirs(whom).values_list("pk", flat=True))
        destroyed = {"files": 0, "rows": 0}
        for file in PaperworkFile.objects.order_by("pk"):
            rows = [row for row in file.rows.all() if row.pk in made or is_theirs(row.cells)]
            destroyed["files"] += self._replace(file, rows, is_theirs)
            destroyed["rows"] += len(rows)
            for row in rows:
                _empty(row)
        masks = Rows("intake.PaperworkRow", masks=["sheet", "cells", "resolution"]).forget(whom)
        counts = {"intake.PaperworkFile": destroyed["files"], "intake.PaperworkRow": destroyed["rows"]}
        return {name: count for name, count in counts.items() if count} or masks

    def _replace(self, file: PaperworkFile, rows: list[PaperworkRow], is_theirs: TheirRows) -> int:
        """Put a copy without the rows in place of the file; 1 where anything had to go."""
        if not default_storage.exists(file.stored_as):
            return 0
        numbers = {(row.sheet, row.row_number) for row in rows}
        data = bytes_of(file)
        try:
            copy = redacted(file.name, data, numbers, is_theirs)
        except CannotRedact:
            copy = b"" if rows else None
        if copy is None or copy == data:
            return 0
        former, name = file.stored_as, keep(copy)
        PaperworkFile.objects.numbered([file.pk]).update(stored_as=name, copy_sha256=digest(copy))
        transaction.on_commit(lambda: _remove(former))
        return 1


def _made_theirs(whom: Whom) -> QuerySet[PaperworkRow]:
    """The rows from which they came, and everything of theirs."""
    theirs = Q()
    for kind in ("participant", "registration__participant", "answer__participant", "handout__participant"):
        theirs |= Q(**{f"made__{kind}__in": whom.people})
    for kind in ("household", "answer__household", "handout__household"):
        theirs |= Q(**{f"made__{kind}__in": whom.homes})
    return PaperworkRow.objects.filter(theirs).distinct()


def _empty(row: PaperworkRow) -> None:
    """Nothing is left to read, so nobody has to look at it either."""
    row.cells, row.review_reason = [], row.review_reason if row.resolved_at else ""
    row.resolution = MASK if row.resolution else ""
    row.save(update_fields=["cells", "review_reason", "resolution"])


def _remove(name: str) -> None:
    if not PaperworkFile.objects.filter(stored_as=name).exists():
        default_storage.delete(name)


def handlers() -> Iterator[tuple[str, Any]]:
    """Rows first: they are found by what their cells say."""
    yield "paperwork", Paperwork()
    yield "paperwork files", Rows("intake.PaperworkFile", masks=["name", "reading"])
