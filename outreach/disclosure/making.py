"""Taking a request down, releasing words row by row, and making what goes out."""

import hashlib
import tempfile
import uuid
from collections.abc import Collection
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.core.files import File
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.disclosure import withholding
from outreach.disclosure.models import Disclosure, Handover, RecordsRequest, ReleasedWords
from outreach.disclosure.row_kinds import BY_KEY, RowKind
from outreach.disclosure.rows import asked_for
from outreach.disclosure.writing import Watch, write_disclosure
from outreach.staff.models import StaffMember


@transaction.atomic
def take_down(*, request: RecordsRequest, by: StaffMember, at: datetime) -> RecordsRequest:
    """Write down who asked for which records."""
    unknown = [kind for kind in request.kinds if kind not in BY_KEY]
    if unknown:
        raise ValidationError({"kinds": _("Nothing of this kind is on record: %s.") % ", ".join(unknown)})
    request.entered_at, request.entered_by = at, by
    request.full_clean()
    request.save()
    return request


@transaction.atomic
def release_words(
    *,
    request: RecordsRequest,
    kind: RowKind,
    looked_at: Collection[int],
    chosen: set[tuple[int, str]],
    act: Any,
) -> int:
    """Release the free text chosen among the rows that were looked at, and no other of them; how many now are.

    `chosen` are rows and columns; `act` has `by` and `at`.
    """
    theirs = asked_for(request, kind).filter(pk__in=looked_at)
    rows = set(theirs.values_list("pk", flat=True))
    wanted = {(row, column) for row, column in chosen if row in rows and column in kind.words}
    there = request.released.of_kind(kind.key).of_rows(list(rows))
    for one in there:
        if (one.row, one.column) not in wanted:
            one.delete()
    for row, column in sorted(wanted - there.places()):
        released = ReleasedWords(
            records_request=request,
            kind=kind.key,
            row=row,
            column=column,
            released_at=act.at,
            released_by=act.by,
        )
        released.full_clean()
        released.save()
    return len(wanted)


def make(
    *, request: RecordsRequest, key: uuid.UUID, by: StaffMember, at: datetime, watch: Watch
) -> Disclosure:
    """Make the files and note what is in them; made before under the same key, they stay."""
    made = Disclosure.objects.filter(key=key).first()
    if made is not None:
        return made
    rules = withholding.in_force()
    with tempfile.TemporaryFile() as target:
        contents = write_disclosure(request, rules, at=at, target=target, watch=watch)
        byte_count = target.tell()
        target.seek(0)
        digest = hashlib.file_digest(target, "sha256").hexdigest()
        target.seek(0)
        name = f"disclosures/{request.pk}-{key}.zip"
        default_storage.delete(name)  # of a worker that was stopped before it could note it
        stored = default_storage.save(name, File(target))
    disclosure = Disclosure(
        records_request=request,
        key=key,
        made_at=at,
        made_by=by,
        rows=sum(one["rows"] for one in contents if one["file"].endswith(".csv")),
        contents=contents,
        rules=rules.as_data(),
        stored_as=stored,
        byte_count=byte_count,
        sha256=digest,
    )
    disclosure.full_clean()
    disclosure.save()
    return disclosure


@transaction.atomic
def hand_over(*, handover: Handover, by: StaffMember, at: datetime) -> Handover:
    """Note that a disclosure went to someone, with the digest of what went."""
    disclosure = handover.disclosure
    if handover.handed_over_on < timezone.localdate(disclosure.made_at):
        raise ValidationError({"handed_over_on": _("It was made later than that. Give the day it went out.")})
    handover.sha256 = disclosure.sha256
    handover.entered_at, handover.entered_by = at, by
    handover.full_clean()
    handover.save()
    return handover
