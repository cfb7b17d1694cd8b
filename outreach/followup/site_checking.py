"""Site checks: drawing whom to visit, recording what was seen, and ending the use of a bin seen not in use."""

from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.bins import pausing
from outreach.bins.models import Pause, Stay
from outreach.followup import drawing_homes
from outreach.followup.models import SiteCheck, SiteCheckList
from outreach.followup.weighing import Act
from outreach.households.models import Household
from outreach.places.models import Jurisdiction

Outcome = SiteCheck.Outcome


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What someone saw, or did not see, at a household on a day."""

    outcome: str
    on: date
    by_name: str
    note: str = ""


@transaction.atomic
def draw_list(
    *, name: str, jurisdiction: Jurisdiction | None, size: int, seed: int, act: Act
) -> SiteCheckList:
    """Draw so many households with a bin in use, each stratum with its share, and put them on a list.

    Raises
    ------
    ValidationError
        If there are fewer households than that, or a list of this name exists.
    """
    homes = drawing_homes.homes_with_a_bin(on=act.on, jurisdiction=jurisdiction)
    drawn = drawing_homes.draw(homes, size=size, seed=seed)
    made = SiteCheckList(
        name=name,
        jurisdiction=jurisdiction,
        size=size,
        seed=seed,
        drawn_on=act.on,
        drawn_from=drawn.drawn_from,
        drawn_at=act.at,
        drawn_by=act.by,
    )
    made.full_clean()
    made.save()
    for place, number in enumerate(drawn.numbers, start=1):
        SiteCheck(list=made, place=place, household_id=number, counted_under_id=number).save()
    return made


@transaction.atomic
def record_visit(*, check: SiteCheck, seen: Seen, act: Act) -> SiteCheck:
    """Record what was seen at a household of a list, or correct it; a bin seen not in use ends its use that day."""
    locked = (
        SiteCheck.objects.select_for_update(of=("self",)).select_related("list", "household").get(pk=check.pk)
    )
    return _recorded(locked, seen, act)


@transaction.atomic
def record_outside_a_draw(*, household: Household, seen: Seen, act: Act) -> SiteCheck:
    """Record a site check of a household that no list named; it is marked so and left out of the shares."""
    household = Household.objects.select_for_update(of=("self",)).get(pk=household.pk)
    return _recorded(SiteCheck(household=household, counted_under=household.counted_under), seen, act)


def contradicts_the_records(check: SiteCheck) -> bool:
    """The bin was seen in use on a day on which it does not count as in use."""
    return check.outcome == Outcome.IN_USE and not _counts_as_in_use(check)


def _recorded(check: SiteCheck, seen: Seen, act: Act) -> SiteCheck:
    if seen.on > act.on:
        raise ValidationError(_("This day is still to come. Give the day of the visit."))
    if check.list is not None and seen.on < check.list.drawn_on:
        raise ValidationError(_("The list was drawn after that day. Give the day of the visit."))
    undone = check.pause
    check.outcome, check.checked_on, check.seen_by, check.note = (
        seen.outcome,
        seen.on,
        seen.by_name,
        seen.note,
    )
    check.entered_at, check.entered_by, check.pause = act.at, act.by, None
    check.full_clean()
    check.save()
    if undone is not None and undone.withdrawn_at is None:
        pausing.withdraw(pause=undone, act=pausing.Act(by=act.by, at=act.at))
    if check.outcome == Outcome.NOT_IN_USE and _counts_as_in_use(check):
        check.pause = _end_of_use(check, act)
        check.save(update_fields=["pause"])
    return check


def _counts_as_in_use(check: SiteCheck) -> bool:
    """On that day; where its use had ended before, there is nothing left to end."""
    day = check.checked_on.toordinal()  # type: ignore[union-attr]
    stays = Stay.objects.filter(counted_under=check.counted_under_id)
    return stays.filter(from_day__lte=day, until_day__gt=day).exists()


def _end_of_use(check: SiteCheck, act: Act) -> Pause:
    return pausing.pause(
        household=check.household,
        from_on=check.checked_on,  # type: ignore[arg-type]
        until_on=None,
        known_from=Pause.KnownFrom.VISIT,
        note=_("seen not in use at a site check"),
        act=pausing.Act(by=act.by, at=act.at),
    )
