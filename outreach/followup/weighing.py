"""Weigh-ins: drawing and adding homes, what they reply, the scale, the weeks, and looking at doubtful ones."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from outreach.followup import drawing_homes
from outreach.followup.models import WeighIn, WeighInSeason
from outreach.households.models import Household
from outreach.staff.models import StaffMember


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """Who records it, and when."""

    by: StaffMember
    at: datetime

    @property
    def on(self) -> date:
        return timezone.localdate(self.at)


@transaction.atomic
def draw_recruits(*, season: WeighInSeason, size: int, seed: int, act: Act) -> list[WeighIn]:
    """Put so many households on the list, drawn at random from those with a bin in use.

    A second draw goes on under the seed of the first, so that the whole is one random order.

    Raises
    ------
    ValidationError
        If there are fewer households than that, or the season is over.
    """
    season = WeighInSeason.objects.select_for_update(of=("self",)).get(pk=season.pk)
    if act.on > season.until_on:
        raise ValidationError(_("This season is over. Draw for the next one."))
    listed = list(WeighIn.objects.of_season(season).order_by("pk"))
    homes = drawing_homes.homes_with_a_bin(on=act.on, without=[one.counted_under_id for one in listed])
    already = sum(not one.is_volunteer for one in listed)
    seed = seed if season.seed is None else season.seed
    drawn = drawing_homes.draw(homes, size=size, seed=seed)
    season.seed, season.drawn_from = seed, drawn.drawn_from + already
    season.drawn_at, season.drawn_by = act.at, act.by
    season.full_clean()
    season.save()
    made = [
        WeighIn(season=season, household_id=number, counted_under_id=number, draw_place=place)
        for place, number in enumerate(drawn.numbers, start=already + 1)
    ]
    for one in made:
        one.save()
    return made


@transaction.atomic
def add_volunteer(*, season: WeighInSeason, household: Household, act: Act) -> WeighIn:
    """Put a household on the list that came by itself; it is marked as a volunteer for good."""
    household = Household.objects.select_for_update(of=("self",)).get(pk=household.pk)
    made = WeighIn(
        season=season,
        household=household,
        counted_under=household.counted_under,
        reply=WeighIn.Reply.AGREED,
        replied_on=act.on,
    )
    made.full_clean()
    made.save()
    return made


@transaction.atomic
def note_progress(*, weigh_in: WeighIn, changes: dict[str, Any]) -> WeighIn:
    """Record what a household replied, and when its scale went out and came back."""
    locked = locked_weigh_in(weigh_in)
    for name, value in changes.items():
        setattr(locked, name, value)
    if locked.reply == WeighIn.Reply.WAITING:
        locked.replied_on = None
    if locked.reply != WeighIn.Reply.AGREED and locked.weighed_weeks.exists():
        raise ValidationError(_("Weeks of this household are entered, so it did agree to weigh."))
    locked.full_clean()
    locked.save()
    return locked


@transaction.atomic
def note_no_reply(*, season: WeighInSeason) -> int:
    """Record of everyone who is still asked that they did not reply; how many they are."""
    asked = WeighIn.objects.of_season(season).still_asked().select_for_update(of=("self",))
    for weigh_in in asked:
        weigh_in.reply = WeighIn.Reply.NO_REPLY
        weigh_in.save(update_fields=["reply"])
    return len(asked)


@transaction.atomic
def take_off(*, weigh_in: WeighIn) -> None:
    """Take a volunteer off the list that was put on it by mistake; whoever was drawn stays, whatever they reply."""
    locked = locked_weigh_in(weigh_in)
    if not locked.is_volunteer:
        raise ValidationError(_("This household was drawn, which stays on record. Record what it replied."))
    if locked.weighed_weeks.exists():
        raise ValidationError(_("Weeks of this household are entered. Set them aside where they are wrong."))
    locked.delete()


def locked_weigh_in(weigh_in: WeighIn) -> WeighIn:
    """The row under the lock, with its season."""
    return WeighIn.objects.select_for_update(of=("self",)).select_related("season").get(pk=weigh_in.pk)
