"""What one asks of weigh-ins, as phrases that chain."""

from datetime import date
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Count, Q

from outreach.households.models import Household

if TYPE_CHECKING:
    from outreach.followup.models import WeighedWeek, WeighIn, WeighInSeason

NOT_WAITING = Q(review_reason="") | Q(reviewed_at__isnull=False)


class WeighInSeasonQuerySet(models.QuerySet["WeighInSeason"]):
    def with_counts(self) -> "WeighInSeasonQuerySet":
        """Each with how many were drawn, how many volunteered, and how many agreed."""
        agreed = Q(weigh_ins__reply="agreed")
        return self.annotate(
            drawn=Count("weigh_ins", filter=Q(weigh_ins__draw_place__isnull=False)),
            volunteers=Count("weigh_ins", filter=Q(weigh_ins__draw_place__isnull=True)),
            agreed=Count("weigh_ins", filter=agreed),
        )


class WeighInQuerySet(models.QuerySet["WeighIn"]):
    def of_season(self, season: "WeighInSeason") -> "WeighInQuerySet":
        return self.filter(season=season)

    def drawn(self) -> "WeighInQuerySet":
        """Picked at random, whatever they replied."""
        return self.filter(draw_place__isnull=False)

    def drawn_by(self, day: date) -> "WeighInQuerySet":
        """Picked at random for a season that had begun by that day."""
        return self.drawn().filter(season__from_on__lte=day)

    def still_asked(self) -> "WeighInQuerySet":
        """Drawn, and neither agreed nor declined nor given up on."""
        return self.filter(reply="waiting")

    def agreed(self) -> "WeighInQuerySet":
        return self.filter(reply="agreed")

    def counted_for(self, household: Household) -> "WeighInQuerySet":
        return self.filter(counted_under=household.counted_under)

    def with_household(self) -> "WeighInQuerySet":
        """With what a list prints of each, in one query."""
        return self.select_related("season", "household__jurisdiction", "counted_under")

    def with_weeks_counted(self) -> "WeighInQuerySet":
        """Each with how many of its weeks are entered and how many wait for a person."""
        waiting = ~Q(weighed_weeks__review_reason="") & Q(weighed_weeks__reviewed_at__isnull=True)
        return self.annotate(
            entered=Count("weighed_weeks"),
            waiting=Count("weighed_weeks", filter=waiting & Q(weighed_weeks__isnull=False)),
        )


class WeighedWeekQuerySet(models.QuerySet["WeighedWeek"]):
    def in_review(self) -> "WeighedWeekQuerySet":
        """A person must look before they count."""
        return self.exclude(NOT_WAITING)

    def set_aside(self) -> "WeighedWeekQuerySet":
        """Looked at and found to say nothing; kept, never counted."""
        return self.filter(is_set_aside=True)

    def counting(self) -> "WeighedWeekQuerySet":
        """Neither waiting nor set aside."""
        return self.filter(NOT_WAITING, is_set_aside=False)

    def ended_by(self, day: date) -> "WeighedWeekQuerySet":
        """Of weeks whose last day is that day or earlier."""
        # A date less whole weeks is not the same in both databases; seasons are few, so they are looked at one by one.
        ended = Q(pk__in=[])
        for season, from_on in (
            self.order_by().values_list("weigh_in__season", "weigh_in__season__from_on").distinct()
        ):
            ended |= Q(weigh_in__season=season, week__lte=((day - from_on).days + 1) // 7)
        return self.filter(ended)

    def of_material(self, material: str) -> "WeighedWeekQuerySet":
        return self.filter(material=material)

    def of_season(self, season: "WeighInSeason") -> "WeighedWeekQuerySet":
        return self.filter(weigh_in__season=season)

    def with_household(self) -> "WeighedWeekQuerySet":
        return self.select_related("weigh_in__season", "weigh_in__household__jurisdiction", "reviewed_by")
