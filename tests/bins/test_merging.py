"""Bins of two records that turn out to be one household: counted under one, and set back exactly."""

import datetime

import pytest

from outreach.bins import excepting, handing_out, recording_facts, stays
from outreach.bins.models import Handout, RuleException, Stay
from outreach.bins.recording_facts import HandoutFact
from outreach.households import merging
from tests.factories.bins import make_bin_model, make_rule, make_stock_place
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = datetime.datetime(2025, 6, 1, 18, tzinfo=datetime.UTC)


@pytest.fixture
def twins():
    """Two records with bins: two of the absorbed, an earlier one of the kept."""
    kept, absorbed = make_household(), make_household()
    bin_model, place = make_bin_model(), make_stock_place()
    days = [(kept, 5), (absorbed, 9), (absorbed, 20)]
    facts = [
        HandoutFact(
            household=household,
            bin_model=bin_model,
            handed_on=datetime.date(2025, 5, day),
            happened_at=datetime.datetime(2025, 5, day, 18, tzinfo=datetime.UTC),
        )
        for household, day in days
    ]
    recording_facts.record_facts(facts, from_place=place, by=None, at=AT)
    return kept, absorbed


def merge(kept, absorbed):
    return merging.merge(kept=kept, absorbed=absorbed, by=make_member(), at=AT, reason="Same people")


def everything():
    return (
        list(Handout.objects.order_by("pk").values()),
        list(RuleException.objects.order_by("pk").values()),
        sorted(
            Stay.objects.values_list("counted_under", "household", "family", "from_day", "until_day"),
        ),
    )


def test_the_later_of_two_bins_becomes_a_merged_exception_and_one_stay_remains(twins):
    kept, absorbed = twins

    merge(kept, absorbed)

    rows = Handout.objects.order_by("handed_on")
    assert {row.counted_under_id for row in rows} == {kept.pk}
    assert [row.household_id for row in rows] == [kept.pk, absorbed.pk, absorbed.pk]
    assert [(row.slot, row.exception and row.exception.kind) for row in rows] == [
        (1, None),
        (None, "merged"),
        (None, "second_bin"),
    ]
    assert Stay.objects.get().counted_under_id == kept.pk


def test_where_the_absorbed_bin_was_first_it_holds_the_place(twins):
    kept, absorbed = twins

    merge(absorbed, kept)

    assert Handout.objects.get(slot=1).household_id == kept.pk


def test_undoing_gives_back_exactly_what_there_was(twins):
    before = everything()

    record = merge(*twins)
    merging.unmerge(record=record, by=make_member(), at=AT)

    assert everything() == before


def test_undoing_also_lets_go_of_a_reason_given_meanwhile(twins):
    record = merge(*twins)
    flag = RuleException.objects.get(kind="merged")
    excepting.give_reason(exception=flag, reason="Two families", by=make_member(), at=AT)

    merging.unmerge(record=record, by=make_member(), at=AT)

    assert Handout.objects.filter(slot=1).count() == 2
    assert not RuleException.objects.filter(kind="merged").exists()


def test_with_room_for_both_the_two_bins_hold_two_places():
    make_rule(slots=2)
    kept, absorbed = make_household(), make_household()
    bin_model, place = make_bin_model(), make_stock_place()
    for household, day in ((kept, 9), (absorbed, 5)):
        fact = HandoutFact(
            household=household,
            bin_model=bin_model,
            handed_on=datetime.date(2025, 5, day),
            happened_at=AT,
        )
        recording_facts.record_facts([fact], from_place=place, by=None, at=AT)
    before = everything()

    record = merge(kept, absorbed)

    assert list(Handout.objects.order_by("handed_on").values_list("slot", flat=True)) == [1, 2]
    merging.unmerge(record=record, by=make_member(), at=AT)
    assert everything() == before


def test_a_bin_recorded_meanwhile_for_the_absorbed_household_goes_back_with_it():
    kept, absorbed = make_household(), make_household()
    record = merge(kept, absorbed)
    fact = HandoutFact(
        household=absorbed,
        bin_model=make_bin_model(),
        handed_on=datetime.date(2025, 5, 9),
        happened_at=AT,
    )
    place = make_stock_place()
    (handout,) = recording_facts.record_facts([fact], from_place=place, by=None, at=AT)

    merging.unmerge(record=record, by=make_member(), at=AT)

    handout.refresh_from_db()
    assert (handout.counted_under, handout.slot) == (absorbed, 1)
    assert Stay.objects.get().counted_under == absorbed
    day = datetime.date(2025, 5, 20)
    handing_out.take_back(handout=handout, to_place=place, taken_back_on=day, by=make_member(), at=AT)
    assert Stay.objects.get().until_day == day.toordinal()
    assert stays.differences([kept.pk, absorbed.pk]) == []
