"""Each rule of the bins tables, broken through the ORM, answers with its sentence."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from outreach.bins.models import (
    BinOrder,
    CarriedBin,
    Handout,
    RuleException,
    RuleVersion,
    Stay,
    StockBalance,
    StockMovement,
    StockPlace,
)
from outreach.bins.models.handouts import NO_END_DAY
from tests.factories.bins import (
    make_bin_model,
    make_exception,
    make_handout,
    make_order,
    make_rule,
    make_stay,
    make_stock_place,
)
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

NOW = datetime.datetime(2025, 6, 1, 18, tzinfo=datetime.UTC)
DAY = datetime.date(2025, 5, 9)


def broken(record, sentence):
    """Both the check before saving and the database itself refuse the record."""
    with pytest.raises(ValidationError, match=sentence):
        record.validate_constraints()
    with pytest.raises(IntegrityError), transaction.atomic():
        record.save()


def changed(record, **differences):
    for name, value in differences.items():
        setattr(record, name, value)
    return record


def movement(**differences):
    facts = {
        "bin_model": make_bin_model(),
        "quantity": 1,
        "from_place": make_stock_place(),
        "to_place": make_stock_place(),
        "why": "moved",
        "moved_on": DAY,
        "entered_at": NOW,
    }
    return StockMovement(**facts | differences)


def test_two_handouts_never_hold_one_place():
    first = make_handout()
    copy = Handout.objects.get(pk=first.pk)
    copy.pk, copy.event_id, copy._state.adding = None, "8b0f7f2e-9f0a-4f0e-8a39-000000000001", True

    broken(copy, "already has the bin that the rule allows")


@pytest.mark.parametrize("slot", [0, 2])
def test_a_place_lies_within_the_rule(slot):
    broken(changed(make_handout(), slot=slot), "does not allow that many")


def test_a_place_names_its_window():
    broken(changed(make_handout(), window_from_on=None), "does not allow that many")


def test_a_subsidised_bin_without_a_place_says_why():
    broken(changed(make_handout(), slot=None), "takes a place in the rule, replaces another")


def test_a_voided_handout_holds_no_place():
    handout = changed(make_handout(), voided_at=NOW, voided_by=make_member())

    broken(handout, "voided handout holds no place")


def test_a_voided_handout_says_who():
    broken(changed(make_handout(), voided_at=NOW, slot=None), "who voided it")


def test_a_bin_comes_back_after_it_was_handed_out():
    broken(changed(make_handout(), returned_on=DAY - datetime.timedelta(days=1)), "cannot come back before")


def test_a_bin_does_not_replace_itself():
    handout = make_handout()

    broken(changed(handout, replaces=handout), "cannot replace itself")


def test_a_bin_is_carried_to_a_household_once():
    handout, household = make_handout(), make_household()
    facts = {"handout": handout, "household": household, "counted_under": household, "moved_on": DAY}
    facts |= {"entered_at": NOW, "entered_by": make_member()}
    CarriedBin.objects.create(**facts)

    broken(CarriedBin(**facts), "already been carried over")


def test_one_stay_at_a_time_is_open():
    stay = make_stay()

    broken(
        Stay(
            household=stay.household, counted_under=stay.household, family="mesh", from_day=stay.from_day + 1
        ),
        "already has a bin in use",
    )


def test_a_stay_lasts_a_day():
    broken(changed(make_stay(), until_day=DAY.toordinal(), ended_because="moved"), "at least a day")


def test_an_ended_stay_says_why():
    assert make_stay().until_day == NO_END_DAY
    broken(changed(make_stay(), until_day=NO_END_DAY - 1), "Say why the bin is no longer in use")


def test_a_rule_allows_at_least_one():
    broken(changed(make_rule(), slots=0), "at least one bin")


def test_a_window_since_a_day_has_that_day():
    broken(RuleVersion(in_force_from_on=DAY, window="since"), "the day on which the window starts")


def test_a_reason_has_someone_who_gave_it():
    broken(changed(make_exception(), reason="Twins"), "needs who allowed it")


def test_whoever_allowed_an_exception_did_so_at_some_time():
    flag = make_exception()

    broken(changed(flag, allowed_by=make_member()), "Say who allowed")
    assert RuleException.objects.without_reason().count() == 1


def test_an_order_is_of_at_least_one():
    broken(changed(make_order(), quantity=0), "at least one bin")


def test_an_order_is_due_after_it_was_ordered():
    order = make_order()

    broken(changed(order, due_on=order.ordered_on - datetime.timedelta(days=1)), "Due before it was ordered")
    assert BinOrder.objects.get().due_on > order.ordered_on


def test_a_movement_is_of_at_least_one():
    broken(movement(quantity=0), "Move at least one")


def test_a_movement_is_between_two_places():
    place = make_stock_place()

    broken(movement(from_place=place, to_place=place), "from one place to another")


def test_each_end_of_the_ledger_is_one_place():
    StockPlace.objects.end("scrap")

    broken(StockPlace(name="Another scrap", kind="scrap"), "just one place of this kind")


def test_a_balance_stands_once_for_a_model_and_a_place():
    balance = StockBalance.objects.create(place=make_stock_place(), bin_model=make_bin_model())

    broken(StockBalance(place=balance.place, bin_model=balance.bin_model), "one balance")


def test_a_balance_is_not_below_zero_unless_excused():
    balance = StockBalance(place=make_stock_place(), bin_model=make_bin_model(), on_hand=-2, excused=1)

    broken(balance, "has none of these left")
    changed(balance, excused=2).save()
