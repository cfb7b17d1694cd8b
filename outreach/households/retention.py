"""Contact data goes once its time is over: for whom that is so, who is held, and doing it.

Nothing goes until somebody has set a schedule. What was counted of a household stays.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from itertools import islice

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from outreach.households import forgetting, last_contact, months, same_persons, without_household
from outreach.households.forgotten_models import ForgettingHold, Forgotten
from outreach.households.models import Household
from outreach.households.retention_models import RetentionRun, RetentionSchedule
from outreach.staff.models import StaffMember

# What a form starts from: three years, as 2 CFR 200.334 asks of federal awards in the United States (from memory);
# and five without a word from whoever may still use the bin, which is ours.
USUAL_MONTHS, USUAL_MONTHS_IN_USE = 36, 60
ROWS_AT_ONCE = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """Roots of households whose time is over: those that go, those held, and those known elsewhere."""

    goes: tuple[int, ...]
    held: tuple[int, ...]
    living_on: tuple[int, ...]
    # Rows with contact that name no household.
    of_no_household: int = 0


def schedule() -> RetentionSchedule | None:
    """The one in force; None until somebody has set it."""
    return RetentionSchedule.objects.newest_first().first()


@transaction.atomic
def set_schedule(
    *, months_after_use: int, months_in_use: int | None, by: StaffMember, at: datetime
) -> RetentionSchedule:
    """Keep contact data for so many months from now on; what already runs for everybody goes on."""
    now = schedule()
    return _added(
        RetentionSchedule(
            months_after_use=months_after_use,
            months_in_use=months_in_use,
            begun_for_all_on=now.begun_for_all_on if now else None,
            set_at=at,
            set_by=by,
        )
    )


def begin_for_all(*, by: StaffMember, at: datetime) -> RetentionSchedule:
    """The programme ends: from today the months run for everybody, whoever may still be active.

    Where nobody has set how many months, it is the usual number. Begun twice, it runs from the first time.
    """
    now = schedule()
    begun = now.begun_for_all_on if now and now.begun_for_all_on else timezone.localdate(at)
    return _for_all(begun, by, at)


def call_off_for_all(*, by: StaffMember, at: datetime) -> RetentionSchedule:
    """The programme goes on: each household has its own date again."""
    return _for_all(None, by, at)


def everybody_until(kept: RetentionSchedule | None = None) -> date | None:
    """The day on which nobody's contact data is kept any more; None while each has a date of its own."""
    kept = kept or schedule()
    if kept is None or kept.begun_for_all_on is None:
        return None
    return months.later(kept.begun_for_all_on, kept.months_after_use)


def runs_out_on(kept: RetentionSchedule, last: date, *, in_use: bool) -> date | None:
    """When the time of a household is over that was last heard of on a day; None: not while its bin is in use."""
    count = kept.months_in_use if in_use else kept.months_after_use
    own = None if count is None else months.later(last, count)
    dates = [day for day in (own, everybody_until(kept)) if day is not None]
    return min(dates, default=None)


def look(on: date, kept: RetentionSchedule | None = None) -> Found:
    """Whose time is over on a day, under the schedule in force or another that somebody thinks of."""
    kept = kept or schedule()
    over = set(_over(on, kept)) if kept else set()
    known_with = same_persons.known_with()
    held = _held(on)
    living_on = {root for root in over if known_with.get(root, set()) - over}
    stays = {root for root in over - living_on if held & {root, *known_with.get(root, ())}}
    goes = over - living_on - stays
    return Found(
        goes=tuple(sorted(goes)),
        held=tuple(sorted(stays)),
        living_on=tuple(sorted(living_on)),
        of_no_household=without_household.count(_over_by(on, kept)) if kept else 0,
    )


def forget_due(*, at: datetime, by: StaffMember | None = None) -> RetentionRun:
    """Forget every household whose time is over; run again, it goes on where it was.

    Each is looked at again under its lock: whoever signed up a moment ago stays.
    """
    on, kept = timezone.localdate(at), schedule()
    found = look(on, kept)
    gone = [root for root in found.goes if _forget(root, by, at)]
    run = RetentionRun(ran_at=at, forgotten=len(gone), held=len(found.held), living_on=len(found.living_on))
    if kept is not None:
        run.of_no_household = without_household.empty(_over_by(on, kept))
    run.full_clean()
    run.save()
    return run


@transaction.atomic
def _forget(root: int, by: StaffMember | None, at: datetime) -> bool:
    home = Household.objects.select_for_update(of=("self",)).get(pk=root)
    kept = schedule()
    on = timezone.localdate(at)
    if kept is None or not _still_over([root], on, kept) or not _is_known(root):
        return False
    try:
        forgetting.forget(household=home, why=Forgotten.Schedule.RETENTION, by=by, at=at)
    except ValidationError:
        # Held since we looked.
        return False
    return True


def _over_by(on: date, kept: RetentionSchedule) -> date:
    """The last day whose contact is over: so many months ago, and everything once it is over for everybody."""
    everybody = everybody_until(kept)
    return on if everybody is not None and everybody <= on else months.later(on, -kept.months_after_use)


def _over(on: date, kept: RetentionSchedule) -> Iterator[int]:
    numbers = Household.objects.roots().known().order_by("pk").values_list("pk", flat=True)
    rows = numbers.iterator()
    while roots := list(islice(rows, ROWS_AT_ONCE)):
        yield from _still_over(roots, on, kept)


def _is_known(root: int) -> bool:
    return Household.objects.numbered([root]).known().exists()


def _still_over(roots: Sequence[int], on: date, kept: RetentionSchedule) -> list[int]:
    last = last_contact.last_days(roots, on)
    using = last_contact.with_a_bin_in_use(roots, on)
    ends = {root: runs_out_on(kept, last[root], in_use=root in using) for root in roots if root in last}
    return [root for root, day in ends.items() if day is not None and day <= on]


def _held(on: date) -> set[int]:
    """Roots of the households that a hold keeps that day."""
    holds = ForgettingHold.objects.in_force(on).select_related("household__merged_into")
    return {one.household.counted_under.pk for one in holds}


@transaction.atomic
def _for_all(begun_on: date | None, by: StaffMember, at: datetime) -> RetentionSchedule:
    now = schedule()
    return _added(
        RetentionSchedule(
            months_after_use=now.months_after_use if now else USUAL_MONTHS,
            months_in_use=now.months_in_use if now else USUAL_MONTHS_IN_USE,
            begun_for_all_on=begun_on,
            set_at=at,
            set_by=by,
        )
    )


def _added(made: RetentionSchedule) -> RetentionSchedule:
    made.full_clean()
    made.save()
    return made
