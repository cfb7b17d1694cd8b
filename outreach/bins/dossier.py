"""What the page of a household tells about bins: timeline, panel, buttons; no names."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.bins import eligibility
from outreach.bins.models import CarriedBin, Handout, Pause, Stay
from outreach.bins.models.handouts import NO_END_DAY
from outreach.households.dossier import Action, Entry
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA


def timeline(household: Household) -> Iterator[Entry]:
    """Bins handed out, replaced, brought back, voided, and brought along from another address."""
    for handout in Handout.objects.counted_for(household).with_details():
        yield from _of_handout(handout)
    for carried in CarriedBin.objects.filter(counted_under=household).select_related("handout__bin_model"):
        yield Entry(
            on=carried.moved_on,
            words=_("Brought a bin along: %(model)s") % {"model": carried.handout.bin_model},
            url=reverse("household", args=[carried.handout.household_id]),
            mark="in_use",
        )
    for pause in Pause.objects.standing().counted_for(household):
        url = reverse("pause", args=[pause.pk])
        known = str(pause.get_known_from_display())
        words = _("Paused") if pause.until_on else _("Stopped using the bin")
        yield Entry(on=pause.from_on, words=words, url=url, mark="stopped", detail=known)
        if pause.until_on:
            yield Entry(on=pause.until_on, words=_("In use again"), url=url, mark="in_use")


def _of_handout(handout: Handout) -> Iterator[Entry]:
    url = reverse("handout", args=[handout.pk])
    words = _("Got a replacement: %(model)s") if handout.replaces_id else _("Took a bin home: %(model)s")
    mark = "replaced" if handout.replaces_id else "handed_out"
    if handout.voided_at:
        words, mark = _("Handout voided: %(model)s"), "cancelled"
    yield Entry(
        on=handout.handed_on,
        words=words % {"model": handout.bin_model},
        url=url,
        mark=mark,
        detail=_remark(handout),
    )
    if handout.returned_on:
        words = _("Brought the bin back: %(model)s") % {"model": handout.bin_model}
        yield Entry(on=handout.returned_on, words=words, url=url, mark="returned")


def _remark(handout: Handout) -> str:
    flags = [flag for flag in (handout.exception, handout.stock_exception) if flag]
    kinds = ", ".join(str(flag.get_kind_display()) for flag in flags)
    return _("Exception: %(kinds)s") % {"kinds": kinds} if kinds else ""


def actions(household: Household, member: StaffMember) -> Iterator[Action]:
    """Handing out and moving out, for those who do these; the office records a pause."""
    if member.role not in WITH_CONTACT_DATA or household.merged_into_id or household.ended_on:
        return
    yield Action(words=_("Hand out a bin"), url=reverse("hand_out", args=[household.pk]))
    if member.role in OFFICE:
        yield Action(words=_("They stopped or paused"), url=reverse("pause_add", args=[household.pk]))
    yield Action(words=_("They moved out"), url=reverse("move_out", args=[household.pk]), is_undoing=True)


def panel(household: Household, member: StaffMember) -> dict[str, Any]:
    """Where the household stands under the rule today, and since when it has had a bin in use."""
    today = timezone.localdate()
    return {
        "standing": eligibility.standing_of(household, today),
        "stays": [
            (
                date.fromordinal(stay.from_day),
                None if stay.until_day == NO_END_DAY else date.fromordinal(stay.until_day),
                stay,
            )
            for stay in Stay.objects.filter(counted_under=household.counted_under)
        ],
        "has_ended": household.ended_on is not None,
    }
