"""Merging keeps both histories, counts everything once, and can be undone to the last row."""

import datetime

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError

from outreach.households import merging
from outreach.households.models import Household, HouseholdMerge, Participant
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration

pytestmark = pytest.mark.django_db
NOON = datetime.datetime(2025, 5, 9, 12, tzinfo=datetime.UTC)
OURS = ("households", "workshops", "bins", "followup", "intake", "filings")


def merge(kept, absorbed, by):
    return merging.merge(kept=kept, absorbed=absorbed, by=by, at=NOON, reason="The same door")


def every_row():
    """All rows of every app that points at households, but for the merges themselves."""
    models = [model for label in OURS for model in apps.get_app_config(label).get_models()]
    return {
        model._meta.label: list(model._base_manager.order_by("pk").values())
        for model in models
        if model is not HouseholdMerge
    }


def test_every_foreign_key_to_a_household_has_a_handler():
    pointing = {
        f"{model._meta.label}.{field.name}"
        for model in apps.get_models()
        for field in model._meta.get_fields()
        if (field.many_to_one or field.one_to_one) and field.concrete and field.related_model is Household
    }

    assert pointing - merging.covered() == set(), "Register a handler that covers these."
    assert merging.covered() - pointing == set(), "These foreign keys do not exist."


def test_a_merge_counts_one_under_the_other(coordinator):
    kept, absorbed = make_household(), make_household()

    record = merge(kept, absorbed, coordinator)

    absorbed.refresh_from_db()
    assert absorbed.counted_under == kept
    assert (record.merged_by, record.merged_at, record.reason) == (coordinator, NOON, "The same door")
    assert list(Household.objects.roots()) == [kept]


def test_rows_stay_as_recorded_and_count_under_the_root(coordinator):
    kept, absorbed = make_household(), make_household()
    registration = make_registration(participant=make_participant(household=absorbed))

    merge(kept, absorbed, coordinator)

    registration.refresh_from_db()
    assert registration.household == absorbed
    assert registration.counted_under == kept


def test_merging_then_unmerging_gives_back_the_identical_rows(coordinator):
    kept, absorbed, earlier = make_household(), make_household(), make_household()
    make_participant(household=kept, full_name="Ada Ueda")
    theirs = make_participant(household=absorbed, full_name="Ada Ueda")
    make_participant(full_name="Elsewhere", same_person_as=theirs)
    make_registration(participant=make_participant(household=absorbed))
    make_registration(participant=make_participant(household=earlier))
    merge(absorbed, earlier, coordinator)
    before = every_row()

    record = merge(kept, absorbed, coordinator)
    during = every_row()
    merging.unmerge(record=record, by=coordinator, at=NOON)

    assert during != before
    assert every_row() == before
    record.refresh_from_db()
    assert (record.undone_by, record.undone_at) == (coordinator, NOON)


def test_nested_merges_all_name_the_root(coordinator):
    root, middle, leaf = make_household(), make_household(), make_household()
    merge(middle, leaf, coordinator)

    merge(root, middle, coordinator)

    leaf.refresh_from_db()
    assert leaf.merged_into == root


def test_people_of_one_name_become_one_person(coordinator):
    kept, absorbed = make_household(), make_household()
    ours = make_participant(household=kept, full_name="Ada Ueda")
    theirs = make_participant(household=absorbed, full_name="Ada Ueda")
    other = make_participant(household=absorbed, full_name="Bo Ueda")

    record = merge(kept, absorbed, coordinator)

    theirs.refresh_from_db()
    other.refresh_from_db()
    assert theirs.same_person_as == ours
    assert other.same_person_as is None
    merging.unmerge(record=record, by=coordinator, at=NOON)
    theirs.refresh_from_db()
    assert theirs.same_person_as is None


def test_people_of_records_merged_earlier_are_met_as_well(coordinator):
    kept, absorbed, earlier = make_household(), make_household(), make_household()
    ours = make_participant(household=kept, full_name="Ada Ueda")
    theirs = make_participant(household=earlier, full_name="Ada Ueda")
    merge(absorbed, earlier, coordinator)

    merge(kept, absorbed, coordinator)

    theirs.refresh_from_db()
    assert theirs.same_person_as == ours


def test_an_earlier_merge_is_undone_only_after_the_later_one(coordinator):
    first, second, third = make_household(), make_household(), make_household()
    earlier = merge(second, third, coordinator)
    later = merge(first, second, coordinator)

    with pytest.raises(ValidationError, match="Undo that merge first"):
        merging.unmerge(record=earlier, by=coordinator, at=NOON)

    merging.unmerge(record=later, by=coordinator, at=NOON)
    merging.unmerge(record=earlier, by=coordinator, at=NOON)
    assert Household.objects.roots().count() == 3


def test_what_is_merged_already_is_not_merged_again(coordinator):
    first, second, third = make_household(), make_household(), make_household()
    merge(first, second, coordinator)

    with pytest.raises(ValidationError, match="already merged into"):
        merge(third, second, coordinator)
    with pytest.raises(ValidationError, match="already merged into"):
        merge(second, third, coordinator)


def test_a_household_is_not_merged_into_itself(coordinator):
    household = make_household()

    with pytest.raises(ValidationError, match="two different households"):
        merge(household, household, coordinator)


def test_a_merge_is_undone_once(coordinator):
    record = merge(make_household(), make_household(), coordinator)
    merging.unmerge(record=record, by=coordinator, at=NOON)

    with pytest.raises(ValidationError, match="already been undone"):
        merging.unmerge(record=record, by=coordinator, at=NOON)


def test_a_merge_is_not_undone_onto_an_address_where_others_now_live(coordinator):
    absorbed = make_household(address_key="1 A ST 00418")
    record = merge(make_household(), absorbed, coordinator)
    make_household(address_key="1 A ST 00418")

    with pytest.raises(ValidationError, match="another household is now recorded at its address"):
        merging.unmerge(record=record, by=coordinator, at=NOON)

    absorbed.refresh_from_db()
    assert absorbed.merged_into is not None


def test_a_handler_that_fails_leaves_nothing_behind(coordinator, monkeypatch):
    class Breaks:
        def merge(self, kept, absorbed):
            raise RuntimeError("a handler broke")

    handlers = merging._handlers | {"breaks": merging.Registered("breaks", Breaks(), frozenset())}
    monkeypatch.setattr(merging, "_handlers", handlers)
    kept, absorbed = make_household(), make_household()
    make_participant(household=kept, full_name="Ada Ueda")
    make_participant(household=absorbed, full_name="Ada Ueda")
    before = every_row()

    with pytest.raises(RuntimeError):
        merge(kept, absorbed, coordinator)

    assert every_row() == before
    assert not HouseholdMerge.objects.exists()
    assert not Participant.objects.filter(same_person_as__isnull=False).exists()
