"""Destroying contact data at the end: household by household, then what belongs to none; and the list of it."""

import hashlib
import json
from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from outreach.ending import closing, missing, sweeping
from outreach.ending.closing import Act
from outreach.ending.models import EndStep
from outreach.households import forgetting
from outreach.households.forgotten_models import Forgotten
from outreach.households.models import Household, Participant

Watch = Callable[[int, int], None]
FORGOTTEN = "FORGOTTEN "


def destroy(*, act: Act, watch: Watch) -> EndStep:
    """Forget everybody, each household in a transaction of its own; stopped, it goes on where it was.

    Raises
    ------
    ValidationError
        While a step before it is not done, or records are held.
    """
    if closing.is_done(EndStep.Step.CONTACT_DATA):
        return EndStep.objects.get(step=EndStep.Step.CONTACT_DATA)
    waits_for = missing.before(EndStep.Step.CONTACT_DATA, on=timezone.localdate(act.at))
    if waits_for:
        raise ValidationError([one.sentence for one in waits_for])
    left = list(still_known())
    for number, home in enumerate(left):
        watch(number, len(left))
        forgetting.forget(
            household=Household.objects.get(pk=home), why=Forgotten.Schedule.CLOSING, by=act.by, at=act.at
        )
    watch(len(left), len(left))
    _remove_open_files()
    with transaction.atomic():
        facts = certificate(swept=sweeping.sweep())
        return closing.note(step=EndStep.Step.CONTACT_DATA, is_done=True, facts=facts, act=act)


def still_known() -> Iterator[int]:
    """Households with an address or a name still on record, by number."""
    named = set(Participant.objects.still_named().values_list("household", flat=True))
    addressed = Household.objects.exclude(address_key__startswith=FORGOTTEN)
    found = addressed.values_list("pk", flat=True)
    roots = {home.counted_under.pk for home in Household.objects.numbered(named | set(found))}
    yield from sorted(roots)


def _remove_open_files() -> None:
    """The open files hold the personal folder; whoever closes has them by now, and no copy lies here."""
    for step in EndStep.objects.filter(step=EndStep.Step.OPEN_FILES, is_done=True):
        if step.fact("stored_as") and default_storage.exists(step.fact("stored_as")):
            default_storage.delete(step.fact("stored_as"))


def certificate(*, swept: dict[str, int]) -> dict[str, Any]:
    """What was destroyed at the end, in counts and digests and without a name."""
    acts = Forgotten.objects.filter(schedule=Forgotten.Schedule.CLOSING).order_by("pk")
    rows: Counter[str] = Counter(swept)
    people, homes, keys = 0, 0, []
    for one in acts.iterator():
        rows.update(one.destroyed)
        people += len(one.people)
        homes += len(one.homes)
        keys.append([str(one.key), one.people, one.homes, one.destroyed])
    listed = json.dumps([keys, swept], sort_keys=True).encode()
    return {
        "people": people,
        "households": homes,
        "acts": len(keys),
        "rows": dict(sorted(rows.items())),
        "sha256": hashlib.sha256(listed).hexdigest(),
    }
