"""A household moves out: it ends, its stay ends, and the record says what became of the bin."""

from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.bins import stays
from outreach.bins.models import CarriedBin, Handout
from outreach.households.models import Household
from outreach.staff.models import StaffMember

BinAfterMove = Household.BinAfterMove


@transaction.atomic
def move_out(
    *,
    household: Household,
    on: date,
    bin_after: str,
    by: StaffMember,
    at: datetime,
    new_household: Household | None = None,
) -> Household:
    """End a household on the day it moved out.

    A bin that came along goes on being used by `new_household`, the same people at their new address,
    where that is known; it counts there as the bin they already had.
    """
    ids = [one.pk for one in (household, new_household) if one is not None]
    locked = Household.objects.select_for_update(of=("self",)).order_by("pk").in_bulk(ids)
    household = locked[household.pk]
    new_household = locked[new_household.pk] if new_household is not None else None
    _refuse_the_impossible(household, bin_after, new_household)
    household.ended_on, household.bin_after_move = on, bin_after
    household.full_clean()
    household.save(update_fields=["ended_on", "bin_after_move"])
    if new_household is not None:
        _carry_along(household, new_household, on, by, at)
    stays.rebuild([household, *([new_household] if new_household else [])])
    return household


def _refuse_the_impossible(household: Household, bin_after: str, new_household: Household | None) -> None:
    if household.merged_into_id is not None:
        raise ValidationError(_("This record was merged into another. Record the move there."))
    if household.ended_on is not None:
        raise ValidationError(_("This household has already moved out."))
    if new_household is None:
        return
    if bin_after != BinAfterMove.CAME_ALONG:
        raise ValidationError({"new_household": _("Name the new household only where the bin came along.")})
    if new_household.pk == household.pk:
        raise ValidationError({"new_household": _("Choose the household at the new address.")})


def _carry_along(
    household: Household, new_household: Household, on: date, by: StaffMember, at: datetime
) -> None:
    for handout in _bins_in_use(household):
        carried = CarriedBin(
            handout=handout,
            household=new_household,
            counted_under=new_household.counted_under,
            moved_on=on,
            entered_at=at,
            entered_by=by,
        )
        carried.full_clean()
        carried.save()


def _bins_in_use(household: Household) -> list[Handout]:
    """Bins that the household has: handed out to it, or carried along on an earlier move."""
    standing = Handout.objects.standing().not_returned()
    brought = CarriedBin.objects.filter(counted_under=household).values("handout")
    return list(standing.counted_for(household)) + list(standing.numbered(brought))
