"""What households themselves tell on their timeline; no names or addresses, for analysts read it too."""

from collections.abc import Iterator

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.households.dossier import Entry
from outreach.households.models import Household, HouseholdMerge


def entries(household: Household) -> Iterator[Entry]:
    """Known since, moved out, merged, merge undone."""
    yield Entry(on=household.began_on, words=_("Known at this address"), mark="active")
    if household.ended_on:
        bin_words = household.get_bin_after_move_display()
        yield Entry(
            on=household.ended_on,
            words=_("Moved out"),
            detail=_("The bin: %(what)s") % {"what": bin_words},
            mark="moved",
        )
    for merge in HouseholdMerge.objects.of(household):
        yield from _of_merge(merge, household)


def _of_merge(merge: HouseholdMerge, household: Household) -> Iterator[Entry]:
    is_kept = merge.kept_id == household.pk
    other = merge.absorbed if is_kept else merge.kept
    words = _("Record %(number)d was merged into this one") if is_kept else _("Merged into record %(number)d")
    url = reverse("household", args=[other.pk])
    number = {"number": other.pk}
    yield Entry(on=timezone.localdate(merge.merged_at), words=words % number, url=url, mark="merged")
    if merge.undone_at:
        undone = _("The merge with record %(number)d was undone") % number
        yield Entry(on=timezone.localdate(merge.undone_at), words=undone, url=url, mark="merged")
