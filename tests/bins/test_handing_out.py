"""Handing out, replacing, taking back and voiding, one household at a time."""

import datetime
import importlib

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError

from outreach.bins import handing_out, ledger, moving_out
from outreach.bins.eligibility import standing_of
from outreach.bins.models import CarriedBin, Handout, RuleException, Stay, StockBalance, StockPlace
from outreach.bins.models.handouts import NO_END_DAY
from tests.factories.bins import make_bin_model, make_rule, make_stock_place
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = datetime.datetime(2025, 6, 20, 18, tzinfo=datetime.UTC)
DAY = datetime.date(2025, 5, 9)


def days(count):
    return DAY + datetime.timedelta(days=count)


@pytest.fixture
def scene():
    by, bin_model, place = make_member(), make_bin_model(name="Mesh ring"), make_stock_place(name="Yard")
    ledger.receive(bin_model=bin_model, quantity=5, to_place=place, received_on=DAY, by=by, at=AT)
    return {"bin_model": bin_model, "from_place": place, "by": by, "at": AT}


def on_hand():
    return StockBalance.objects.values_list("on_hand", flat=True).get()


def stays_of(household):
    rows = Stay.objects.filter(counted_under=household)
    return list(rows.values_list("from_day", "until_day", "ended_because"))


def test_a_handout_takes_the_place_the_bin_and_opens_the_stay(scene):
    household = make_household()

    handout = handing_out.hand_out(household=household, handed_on=DAY, **scene)

    assert (handout.slot, handout.slots, handout.exception) == (1, 1, None)
    assert on_hand() == 4
    assert stays_of(household) == [(DAY.toordinal(), NO_END_DAY, "")]


def test_a_second_bin_is_refused_with_the_sentence_and_nothing_is_written(scene):
    household = make_household()
    handing_out.hand_out(household=household, handed_on=DAY, **scene)

    with pytest.raises(ValidationError, match=r"had its bin on 9 May 2025\..*needs a reason"):
        handing_out.hand_out(household=household, handed_on=days(1), **scene)

    assert (Handout.objects.count(), on_hand(), RuleException.objects.count()) == (1, 4, 0)


def test_with_a_reason_the_second_bin_is_an_exception_and_opens_no_second_stay(scene):
    household = make_household()
    handing_out.hand_out(household=household, handed_on=DAY, **scene)

    second = handing_out.hand_out(
        household=household, handed_on=days(1), exception_reason="Big garden", **scene
    )

    assert (second.slot, second.exception.kind, second.exception.reason) == (None, "second_bin", "Big garden")
    assert second.exception.allowed_by == scene["by"]
    assert len(stays_of(household)) == 1


def test_a_bin_entered_late_for_an_earlier_day_takes_nobodys_place(scene):
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=days(5), **scene)

    with pytest.raises(ValidationError, match="14 May 2025"):
        handing_out.hand_out(household=household, handed_on=DAY, **scene)
    handing_out.hand_out(household=household, handed_on=DAY, exception_reason="Found the sheet", **scene)

    first.refresh_from_db()
    assert first.slot == 1


def test_an_empty_shelf_refuses_unless_there_is_a_reason(scene):
    for _ in range(5):
        handing_out.hand_out(household=make_household(), handed_on=DAY, **scene)

    with pytest.raises(ValidationError, match="The ledger has 0 of Mesh ring at Yard"):
        handing_out.hand_out(household=make_household(), handed_on=DAY, **scene)
    handout = handing_out.hand_out(
        household=make_household(), handed_on=DAY, exception_reason="One more was in the van", **scene
    )

    assert (handout.slot, handout.exception, handout.stock_exception.kind) == (1, None, "none_on_ledger")
    assert on_hand() == -1


def test_a_replacement_uses_no_new_place_and_points_at_the_bin_it_replaces(scene):
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)

    scrap = StockPlace.objects.end("scrap")
    new = handing_out.replace(
        handout=first,
        from_place=scene["from_place"],
        replaced_on=days(9),
        by=scene["by"],
        at=AT,
        old_bin_to=scrap,
    )

    assert (new.replaces, new.slot, new.exception) == (first, None, None)
    assert stays_of(household) == [(DAY.toordinal(), NO_END_DAY, "")]
    assert on_hand() == 3


def test_a_bin_of_another_household_cannot_be_replaced(scene):
    other = handing_out.hand_out(household=make_household(), handed_on=DAY, **scene)

    with pytest.raises(ValidationError, match="another household"):
        handing_out.hand_out(household=make_household(), handed_on=DAY, replaces=other, **scene)


@pytest.mark.parametrize("frees", [True, False])
def test_a_returned_bin_gives_its_place_back_only_if_the_rule_says_so(scene, frees):
    make_rule(return_frees_slot=frees)
    household = make_household()
    handout = handing_out.hand_out(household=household, handed_on=DAY, **scene)

    handing_out.take_back(
        handout=handout, to_place=scene["from_place"], taken_back_on=days(9), by=scene["by"], at=AT
    )

    assert standing_of(household, days(9)).may_have_bin is frees
    assert stays_of(household) == [(DAY.toordinal(), days(9).toordinal(), "returned")]
    assert on_hand() == 5


def test_a_stay_goes_on_while_another_bin_is_in_use(scene):
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)
    handing_out.hand_out(household=household, handed_on=days(2), exception_reason="Two yards", **scene)

    handing_out.take_back(
        handout=first, to_place=scene["from_place"], taken_back_on=days(9), by=scene["by"], at=AT
    )

    assert stays_of(household) == [(DAY.toordinal(), NO_END_DAY, "")]


def test_voiding_frees_the_place_gives_the_bin_back_and_corrects_the_stay(scene):
    household = make_household()
    handout = handing_out.hand_out(household=household, handed_on=DAY, **scene)

    handing_out.void(handout=handout, reason="Wrong household", by=scene["by"], at=AT)

    assert standing_of(household, DAY).may_have_bin
    assert (on_hand(), stays_of(household)) == (5, [])
    assert list(handout.movements.values_list("why", flat=True)) == ["voided", "handed_out"]
    with pytest.raises(ValidationError, match="already voided"):
        handing_out.void(handout=handout, reason="Again", by=scene["by"], at=AT)


def test_nobody_is_given_a_bin_after_moving_out_or_on_a_day_to_come(scene):
    household = make_household(ended_on=DAY, bin_after_move="unknown")

    with pytest.raises(ValidationError, match="moved out on 9 May 2025"):
        handing_out.hand_out(household=household, handed_on=DAY, **scene)
    with pytest.raises(ValidationError, match="still to come"):
        handing_out.hand_out(household=make_household(), handed_on=days(400), **scene)


def test_moving_out_ends_the_stay(scene):
    household = make_household()
    handing_out.hand_out(household=household, handed_on=DAY, **scene)

    moving_out.move_out(household=household, on=days(30), bin_after="left_behind", by=scene["by"], at=AT)

    household.refresh_from_db()
    assert (household.ended_on, household.bin_after_move) == (days(30), "left_behind")
    assert stays_of(household) == [(DAY.toordinal(), days(30).toordinal(), "moved")]


def test_a_bin_that_came_along_is_in_use_and_counts_at_the_new_address(scene):
    old, new = make_household(), make_household()
    handing_out.hand_out(household=old, handed_on=DAY, **scene)

    moving_out.move_out(
        household=old, on=days(30), bin_after="came_along", new_household=new, by=scene["by"], at=AT
    )

    assert stays_of(old) == [(DAY.toordinal(), days(30).toordinal(), "moved")]
    assert stays_of(new) == [(days(30).toordinal(), NO_END_DAY, "")]
    assert not standing_of(new, days(40)).may_have_bin


def test_a_household_moves_out_once(scene):
    household = make_household(ended_on=DAY, bin_after_move="unknown")

    with pytest.raises(ValidationError, match="already moved out"):
        moving_out.move_out(household=household, on=days(1), bin_after="unknown", by=scene["by"], at=AT)


def test_a_replaced_bin_that_comes_back_gives_no_place_while_the_new_one_is_in_use(scene):
    make_rule(return_frees_slot=True, in_force_from_on=datetime.date(2025, 1, 2))
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)
    new = handing_out.replace(handout=first, replaced_on=days(3), **_but_model(scene))

    _take_back(first, scene, on=days(5))
    with pytest.raises(ValidationError, match="had its bin on 9 May 2025"):
        handing_out.hand_out(household=household, handed_on=days(9), **scene)

    _take_back(new, scene, on=days(10))
    assert handing_out.hand_out(household=household, handed_on=days(11), **scene).slot == 1


def test_a_bin_that_came_back_when_it_was_replaced_is_not_taken_back_again(scene):
    first = handing_out.hand_out(household=make_household(), handed_on=DAY, **scene)
    back_to = scene["from_place"]
    handing_out.replace(handout=first, replaced_on=days(3), old_bin_to=back_to, **_but_model(scene))

    with pytest.raises(ValidationError, match="Take back the one in use"):
        _take_back(first, scene, on=days(5))

    assert on_hand() == 4


@pytest.mark.parametrize("kind", ["scrap", "store"])
def test_a_replacement_that_comes_back_frees_the_place_where_the_old_bin_came_back_before(scene, kind):
    make_rule(return_frees_slot=True, in_force_from_on=datetime.date(2025, 1, 2))
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)
    old_to = StockPlace.objects.end("scrap") if kind == "scrap" else scene["from_place"]
    new = handing_out.replace(handout=first, replaced_on=days(3), old_bin_to=old_to, **_but_model(scene))

    with pytest.raises(ValidationError, match="had its bin on 9 May 2025"):
        handing_out.hand_out(household=household, handed_on=days(9), **scene)
    _take_back(new, scene, on=days(10))

    assert handing_out.hand_out(household=household, handed_on=days(11), **scene).slot == 1


def test_a_broken_bin_that_never_came_holds_the_place_until_it_is_declared_scrapped(scene):
    make_rule(return_frees_slot=True, in_force_from_on=datetime.date(2025, 1, 2))
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)
    new = handing_out.replace(handout=first, replaced_on=days(3), **_but_model(scene))
    _take_back(new, scene, on=days(10))

    with pytest.raises(ValidationError, match="had its bin on 9 May 2025"):
        handing_out.hand_out(household=household, handed_on=days(11), **scene)
    handing_out.take_back(
        handout=first,
        to_place=StockPlace.objects.end("scrap"),
        taken_back_on=days(12),
        by=scene["by"],
        at=AT,
    )

    assert handing_out.hand_out(household=household, handed_on=days(13), **scene).slot == 1


def test_both_bins_that_replaced_one_must_be_gone(scene):
    make_rule(return_frees_slot=True, in_force_from_on=datetime.date(2025, 1, 2))
    household = make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)
    lid = handing_out.replace(handout=first, replaced_on=days(3), **_but_model(scene))
    door = handing_out.replace(handout=first, replaced_on=days(4), **_but_model(scene))

    for gone in (first, door):
        _take_back(gone, scene, on=days(6))
    with pytest.raises(ValidationError, match="had its bin on 9 May 2025"):
        handing_out.hand_out(household=household, handed_on=days(7), **scene)
    _take_back(lid, scene, on=days(8))

    assert handing_out.hand_out(household=household, handed_on=days(9), **scene).slot == 1


def test_a_bin_that_came_back_does_not_come_along_to_the_new_address(scene):
    household, elsewhere = make_household(), make_household()
    first = handing_out.hand_out(household=household, handed_on=DAY, **scene)
    new = handing_out.replace(
        handout=first, replaced_on=days(3), old_bin_to=scene["from_place"], **_but_model(scene)
    )

    moving_out.move_out(
        household=household,
        on=days(9),
        bin_after="came_along",
        new_household=elsewhere,
        by=scene["by"],
        at=AT,
    )

    carried = CarriedBin.objects.filter(household=elsewhere)
    assert list(carried.values_list("handout", flat=True)) == [new.pk]


def test_what_only_the_ledger_knew_is_said_by_the_handout_since(scene):
    first = handing_out.hand_out(household=make_household(), handed_on=DAY, **scene)
    back_to = scene["from_place"]
    new = handing_out.replace(handout=first, replaced_on=days(3), old_bin_to=back_to, **_but_model(scene))
    Handout.objects.filter(pk=first.pk).update(returned_on=None)

    migration = importlib.import_module("outreach.bins.migrations.0009_bins_that_came_back_when_replaced")
    migration.say_the_day(apps, None)

    assert dict(Handout.objects.values_list("pk", "returned_on")) == {first.pk: days(3), new.pk: None}


def _but_model(scene):
    return {name: value for name, value in scene.items() if name != "bin_model"}


def _take_back(handout, scene, *, on):
    place, by = scene["from_place"], scene["by"]
    handing_out.take_back(handout=handout, to_place=place, taken_back_on=on, by=by, at=AT)
