"""What one asks of site checks, as phrases that chain."""

from datetime import date
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Count, Q

from outreach.households.models import Household
from outreach.places.models import Jurisdiction

if TYPE_CHECKING:
    from outreach.followup.models import SiteCheck, SiteCheckList

VISITED = ~Q(outcome="to_visit")


class SiteCheckListQuerySet(models.QuerySet["SiteCheckList"]):
    def with_counts(self) -> "SiteCheckListQuerySet":
        """Each with how many of its households were visited, and how many bins were seen in use."""
        return self.annotate(
            visited=Count("checks", filter=~Q(checks__outcome="to_visit")),
            in_use=Count("checks", filter=Q(checks__outcome="in_use")),
        )


class SiteCheckQuerySet(models.QuerySet["SiteCheck"]):
    def visited(self) -> "SiteCheckQuerySet":
        return self.filter(VISITED)

    def of_list(self, list_: "SiteCheckList") -> "SiteCheckQuerySet":
        return self.filter(list=list_)

    def drawn(self) -> "SiteCheckQuerySet":
        """On a list that was drawn at random."""
        return self.filter(list__isnull=False)

    def outside_a_draw(self) -> "SiteCheckQuerySet":
        return self.filter(list__isnull=True)

    def made_between(self, first_day: date, last_day: date) -> "SiteCheckQuerySet":
        return self.filter(checked_on__range=(first_day, last_day))

    def of_jurisdiction(self, jurisdiction: Jurisdiction) -> "SiteCheckQuerySet":
        return self.filter(counted_under__jurisdiction=jurisdiction)

    def counted_for(self, household: Household) -> "SiteCheckQuerySet":
        return self.filter(counted_under=household.counted_under)

    def with_household(self) -> "SiteCheckQuerySet":
        """With what a list prints of each, in one query."""
        return self.select_related("list", "household__jurisdiction", "counted_under", "entered_by", "pause")
