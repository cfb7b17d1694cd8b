"""Phrases in which households, people, merges and rulings are asked for."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from django.apps import apps
from django.db import models
from django.db.models import Exists, F, OuterRef, Q

if TYPE_CHECKING:
    from outreach.households.models import DuplicateRuling, Household, HouseholdMerge, Participant
    from outreach.places.models import Jurisdiction

ORDERS = {
    "street": ("street_key", "unit_key"),
    "jurisdiction": ("jurisdiction__name", "street_key"),
    "since": ("began_on", "street_key"),
}


class HouseholdQuerySet(models.QuerySet["Household"]):
    def roots(self) -> HouseholdQuerySet:
        """Those that stand for themselves, not merged into another."""
        return self.filter(merged_into__isnull=True)

    def known(self) -> HouseholdQuerySet:
        """Those whose address has not been forgotten, or of whose people somebody is still named."""
        people = apps.get_model("households", "Participant")._default_manager.still_named()
        theirs = Q(household=OuterRef("pk")) | Q(household__merged_into=OuterRef("pk"))
        return self.filter(~Q(street_key__startswith="FORGOTTEN ") | Exists(people.filter(theirs)))

    def known_before(self, day: date) -> HouseholdQuerySet:
        """Those that were on record by then."""
        return self.filter(began_on__lt=day)

    def current(self, on: date) -> HouseholdQuerySet:
        """Roots that live at their address on that day."""
        return self.roots().filter(Q(ended_on__isnull=True) | Q(ended_on__gt=on))

    def standing_open(self) -> HouseholdQuerySet:
        """Roots that have not moved out: at most one at each address and unit."""
        return self.roots().filter(ended_on__isnull=True)

    def in_jurisdiction(self, jurisdiction: Jurisdiction) -> HouseholdQuerySet:
        return self.filter(jurisdiction=jurisdiction)

    def on_street(self, name: str) -> HouseholdQuerySet:
        """Those whose street has that word for its name."""
        return self.filter(street_key__contains=f" {name.upper()} ")

    def moved_out(self) -> HouseholdQuerySet:
        return self.roots().filter(ended_on__isnull=False)

    def apart_from(self, household: Household) -> HouseholdQuerySet:
        return self.exclude(pk=household.pk)

    def in_order(self, order: str) -> HouseholdQuerySet:
        """By a column of the list, `-` before it for the other way round; by street where none is named."""
        columns = ORDERS.get(order.removeprefix("-"), ("street_key", "unit_key"))
        sign = "-" if order.startswith("-") else ""
        return self.order_by(*(f"{sign}{column}" for column in columns), "pk")

    def in_order_of_number(self) -> HouseholdQuerySet:
        """For those who may not see the street: its order would tell it."""
        return self.order_by("pk")

    def with_people(self) -> HouseholdQuerySet:
        """With the people of each household and of those merged into it, two queries more."""
        return self.select_related("jurisdiction", "district").prefetch_related(
            "participants", "absorbed__participants"
        )

    def at_address(self, address_key: str, unit_key: str) -> HouseholdQuerySet:
        return self.filter(address_key=address_key, unit_key=unit_key)

    def merged_into(self, household: Household) -> HouseholdQuerySet:
        return self.filter(merged_into=household)

    def numbered(self, numbers: Iterable[int]) -> HouseholdQuerySet:
        return self.filter(pk__in=numbers)

    def living_at(self, household: Household, on: date) -> HouseholdQuerySet:
        """Records at the same address and unit whose household had not moved out by that day; of those
        who lived there one after the other the earliest first. Merged records stand for their root."""
        has_stayed = Q(merged_into__isnull=True) & (Q(ended_on__isnull=True) | Q(ended_on__gt=on))
        root_has_stayed = Q(merged_into__isnull=False) & (
            Q(merged_into__ended_on__isnull=True) | Q(merged_into__ended_on__gt=on)
        )
        return (
            self.at_address(household.address_key, household.unit_key)
            .filter(has_stayed | root_has_stayed)
            .order_by(F("ended_on").asc(nulls_last=True), F("merged_into").asc(nulls_first=True), "pk")
        )


class ParticipantQuerySet(models.QuerySet["Participant"]):
    def of(self, household: Household) -> ParticipantQuerySet:
        """People of a household and of those merged into it."""
        return self.filter(Q(household=household) | Q(household__merged_into=household))

    def standing(self) -> ParticipantQuerySet:
        """Those who stand for themselves, not linked to the same person met elsewhere."""
        return self.filter(same_person_as__isnull=True)

    def numbered(self, numbers: Iterable[int]) -> ParticipantQuerySet:
        return self.filter(pk__in=numbers)

    def with_links(self) -> ParticipantQuerySet:
        return self.select_related("household", "same_person_as__household")

    def linked(self) -> ParticipantQuerySet:
        """Those linked by hand to the same person met elsewhere."""
        return self.filter(same_person_as__isnull=False)

    def linked_to(self, participant: Participant) -> ParticipantQuerySet:
        return self.filter(same_person_as=participant)

    def still_named(self) -> ParticipantQuerySet:
        """Those who have not been forgotten."""
        return self.exclude(name_key__startswith="FORGOTTEN ")

    def same_as_any(self, roots: Iterable[int]) -> ParticipantQuerySet:
        """Every record of these persons: their own, and those linked to it."""
        roots = list(roots)
        return self.filter(Q(pk__in=roots) | Q(same_person_as__in=roots)).select_related("household")

    def named(self, name_key: str) -> ParticipantQuerySet:
        return self.filter(name_key=name_key)


class HouseholdMergeQuerySet(models.QuerySet["HouseholdMerge"]):
    def of(self, household: Household) -> HouseholdMergeQuerySet:
        """Merges in which a household was kept or absorbed, undone ones too."""
        return self.filter(Q(kept=household) | Q(absorbed=household)).select_related("kept", "absorbed")

    def that_absorbed(self, household_id: int) -> HouseholdMerge:
        """The one merge of a household that has not been undone."""
        return self.get(absorbed=household_id, undone_at__isnull=True)


class DuplicateRulingQuerySet(models.QuerySet["DuplicateRuling"]):
    def about(self, kind: str) -> DuplicateRulingQuerySet:
        return self.filter(kind=kind)
