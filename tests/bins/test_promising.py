"""Bins kept for households: a seat is not a bin."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from outreach.bins import booking_follower, handing_out, ledger, promising, running_short
from outreach.bins.models import Promise
from outreach.households import merging
from outreach.post.models import Message
from outreach.workshops import changing, due, giving_back, holding, postponing, registering
from outreach.workshops.postponing import NewDate
from tests.factories.bins import make_bin_model, make_handout, make_rule, make_stock_place
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop
from tests.workshops.sign_ups import AT, make_home_on_record, make_public_workshop, sign_up

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

HOUR = datetime.timedelta(hours=1)
LATER = datetime.date(2026, 6, 8)


def promised(booking):
    return Promise.objects.kept().counted_for(booking.counted_under).first()


def arrive(registration, at):
    return registering.mark_attended(registration=registration, at=at, by=make_member())


def walk_in(workshop, at):
    person = make_participant(household=make_household(jurisdiction=workshop.jurisdiction))
    return registering.walk_in(workshop=workshop, participant=person, at=at, by=make_member())


def hand_out(household, workshop=None, **more):
    model, store, by = make_bin_model(), make_stock_place(), make_member()
    day = more.pop("handed_on", datetime.date(2026, 5, 9))
    ledger.receive(bin_model=model, quantity=5, to_place=store, received_on=day, by=by, at=AT)
    return handing_out.hand_out(
        household=household,
        bin_model=model,
        handed_on=day,
        workshop=workshop,
        from_place=store,
        by=by,
        at=AT + datetime.timedelta(days=40),
        **more,
    )


def test_as_many_bins_are_promised_as_are_planned_and_no_more():
    workshop = make_public_workshop(seats=10, bins_planned=2)

    bookings = [sign_up(workshop, people=2) for _household in range(3)]

    assert [promised(booking) is not None for booking in bookings] == [True, True, False]
    assert [booking.state for booking in bookings] == ["booked"] * 3
    assert promising.left_to_promise(workshop) == 0


def test_who_stands_by_is_promised_a_bin_once_there_is_room():
    workshop = make_public_workshop(seats=1, bins_planned=5)
    first, second = sign_up(workshop), sign_up(workshop, email="", reach_by="letter")
    assert promised(second) is None

    giving_back.give_back(booking=first, because="themselves", at=AT)

    assert promised(first) is None
    assert promised(second) is not None


def test_a_household_that_had_its_bin_is_promised_none_and_the_page_does_not_say_so():
    workshop = make_public_workshop(bins_planned=5)
    household = make_home_on_record()
    make_participant(household=household, email="ada@example.org")
    make_handout(household=household)

    again = sign_up(workshop, street="5 Reed Street", names=("Ben Holm",))

    assert promised(again) is None
    notice = Message.objects.filter(kind="workshops.already_known").order_by("-pk").first()
    assert "your household had its bin on 9 May 2025" in notice.body


def test_a_booking_without_the_wish_for_a_bin_or_from_elsewhere_has_none():
    workshop = make_public_workshop(bins_planned=5)

    unwanted = sign_up(workshop, wants_bin=False)
    elsewhere = sign_up(workshop, city="Farholm", zip_code="99999")

    assert (promised(unwanted), promised(elsewhere)) == (None, None)


def test_an_apartment_is_promised_a_bin_unless_the_rule_says_no():
    workshop = make_public_workshop(bins_planned=5)
    assert promised(sign_up(workshop, dwelling="apartment")) is not None

    make_rule(homes_with_ground_only=True)
    other = sign_up(workshop, dwelling="apartment")

    assert promised(other) is None
    assert other.state == "booked"


def test_a_wish_that_changes_moves_the_promise():
    workshop = make_public_workshop(bins_planned=5)
    booking = sign_up(workshop)
    said = {name: getattr(booking, name) for name in changing.CHANGEABLE}

    changing.change(booking=booking, people=1, said=said | {"wants_bin": False}, at=AT)
    assert promised(booking) is None
    changing.change(booking=booking, people=1, said=said, at=AT)
    assert promised(booking) is not None


def test_of_two_bookings_of_a_household_one_given_back_leaves_its_bin():
    workshop = make_public_workshop(bins_planned=1)
    first = sign_up(workshop, street="5 Reed Street")
    second = sign_up(workshop, street="5 Reed Street", names=("Ben Holm",))

    giving_back.give_back(booking=first, because="themselves", at=AT)

    assert promised(second) is not None


def test_a_bin_follows_the_household_to_its_other_workshop():
    first_day = make_public_workshop(bins_planned=5)
    other_day = make_public_workshop(
        venue=first_day.venue, bins_planned=5, held_on=datetime.date(2026, 5, 16)
    )
    booking = sign_up(first_day, street="5 Reed Street")
    sign_up(other_day, street="5 Reed Street")

    giving_back.give_back(booking=booking, because="themselves", at=AT)

    assert promised(booking).workshop == other_day


def test_at_the_start_unclaimed_bins_go_to_who_is_there_in_order_of_arrival():
    workshop = make_public_workshop(seats=10, bins_planned=2)
    claimed, absent = sign_up(workshop), sign_up(workshop)
    start = workshop.starts_at
    late = walk_in(workshop, start - 0.1 * HOUR)
    early = walk_in(workshop, start - 0.5 * HOUR)
    arrive(claimed.registrations.get(), start - 0.2 * HOUR)

    assert promising.lapse_unclaimed(workshop=workshop, at=start - HOUR / 60) == 0
    due.settle_due(start)
    due.settle_due(start + HOUR / 6)

    kept = set(Promise.objects.kept().values_list("counted_under", flat=True))
    assert kept == {claimed.counted_under_id, early.counted_under_id}
    assert promised(absent) is None
    assert late.counted_under_id not in kept


def test_who_asked_for_a_bin_and_goes_home_without_is_owed_one_with_a_day():
    workshop = make_public_workshop(bins_planned=3)
    without, served, absent = sign_up(workshop), sign_up(workshop), sign_up(workshop)
    start = workshop.starts_at
    for booking in (without, served):
        arrive(booking.registrations.get(), start)
    walked_in = walk_in(workshop, start)
    hand_out(served.household, workshop)
    due.settle_due(start + HOUR)

    holding.close(workshop=workshop, by=make_member(), at=start + 3 * HOUR)

    [owed] = Promise.objects.owed()
    assert (owed.counted_under, owed.owed_from) == (without.counted_under, workshop)
    assert owed.promised_for_on == timezone.localdate(start) + booking_follower.OWED_WITHIN
    assert {promised(one) for one in (served, absent, walked_in)} == {None}


def test_any_handout_settles_what_is_owed_also_without_a_workshop():
    household, workshop = make_household(), make_workshop(held_on=datetime.date(2026, 5, 1))
    owed = promising.owe(household=household, workshop=workshop, due_on=LATER, at=AT, by=make_member())

    handout = hand_out(household, how="delivery", picked_up_by="", handed_on=datetime.date(2026, 5, 20))

    owed.refresh_from_db()
    assert (owed.state, owed.handout, handout.workshop) == ("fulfilled", handout, None)


def test_a_handout_that_never_happened_is_owed_again():
    household, workshop = make_household(), make_workshop(held_on=datetime.date(2026, 5, 1))
    owed = promising.owe(household=household, workshop=workshop, due_on=LATER, at=AT, by=make_member())
    handout = hand_out(household, handed_on=datetime.date(2026, 5, 20))

    handing_out.void(
        handout=handout, reason="Wrong house", by=make_member(), at=AT + datetime.timedelta(days=41)
    )

    owed.refresh_from_db()
    assert (owed.state, owed.handout) == ("kept", None)


def test_nobody_is_owed_a_bin_outside_the_rule():
    household, workshop = make_household(), make_workshop(held_on=datetime.date(2026, 5, 1))
    make_handout(household=household)

    with pytest.raises(ValidationError, match="The household had its bin"):
        promising.owe(household=household, workshop=workshop, due_on=LATER, at=AT)


def test_a_bin_is_not_owed_by_a_day_before_the_workshop():
    workshop = make_workshop(held_on=datetime.date(2026, 5, 1))

    with pytest.raises(ValidationError, match="after the workshop"):
        promising.owe(household=make_household(), workshop=workshop, due_on=datetime.date(2026, 4, 1), at=AT)


def test_promises_of_a_workshop_move_with_it_and_end_with_it():
    workshop = make_public_workshop(bins_planned=5)
    booking = sign_up(workshop)
    to = NewDate(
        held_on=datetime.date(2026, 5, 23),
        starts_at_time=datetime.time(9),
        ends_at_time=None,
        venue=workshop.venue,
    )
    moved = postponing.postpone(workshop=workshop, to=to, reason="Rain", by=make_member(), at=AT)
    assert promised(booking).kept_until == moved.starts_at

    holding.cancel(workshop=moved, reason="Storm", by=make_member(), at=AT)

    assert promised(booking) is None


def test_a_workshop_planned_again_keeps_its_bins_for_who_signed_up_first():
    workshop = make_public_workshop(seats=10, bins_planned=2)
    bookings = [sign_up(workshop) for _household in range(3)]
    holding.cancel(workshop=workshop, reason="Storm", by=make_member(), at=AT)

    holding.reopen(workshop=workshop, reason="It passed by.", by=make_member(), at=AT + HOUR)

    assert [promised(booking) is not None for booking in bookings] == [True, True, False]


def test_of_two_records_of_one_household_one_bin_is_kept_and_both_come_back():
    workshop = make_public_workshop(bins_planned=5)
    first, second = sign_up(workshop), sign_up(workshop)

    record = merging.merge(
        kept=first.household, absorbed=second.household, by=make_member(), at=AT, reason="Same people"
    )
    assert Promise.objects.kept().count() == 1
    merging.unmerge(record=record, by=make_member(), at=AT)

    assert promised(first) is not None
    assert promised(second) is not None


def test_running_short_counts_what_is_promised_and_what_is_owed():
    workshop = make_public_workshop(bins_planned=2)
    store, model = make_stock_place(), make_bin_model()
    ledger.receive(
        bin_model=model, quantity=2, to_place=store, received_on=AT.date(), by=make_member(), at=AT
    )
    assert running_short.runs_short(timezone.localdate(AT)) == []

    past = make_workshop(held_on=datetime.date(2026, 4, 4))
    promising.owe(household=make_household(), workshop=past, due_on=datetime.date(2026, 5, 5), at=AT)

    [shortage] = running_short.runs_short(timezone.localdate(AT))
    assert (shortage.workshop, shortage.lacking) == (workshop, 1)


def test_bins_owed_are_lacking_even_where_no_workshop_is_planned():
    past = make_workshop(held_on=datetime.date(2026, 4, 4))
    promising.owe(household=make_household(), workshop=past, due_on=LATER, at=AT)

    [shortage] = running_short.runs_short(timezone.localdate(AT))

    assert (shortage.workshop, shortage.lacking, shortage.runs_out_on) == (None, 1, LATER)
    assert "households that are owed one go short of 1" in shortage.sentence


def test_the_office_owes_a_bin_sets_another_day_and_lets_it_go(as_coordinator):
    household = make_household()
    workshop = make_workshop(held_on=timezone.localdate())
    address = reverse("owe_bin", args=[household.pk, workshop.pk])
    day = timezone.localdate() + datetime.timedelta(days=9)

    assert as_coordinator.post(address, {"due_on": day.isoformat()}).status_code == 302
    page = as_coordinator.get(reverse("owed_bins")).content.decode()
    assert household.street in page
    assert "1 bin is owed" in as_coordinator.get(reverse("season")).content.decode()
    later = day + datetime.timedelta(days=5)
    as_coordinator.post(address, {"due_on": later.isoformat()})
    assert Promise.objects.get().promised_for_on == later
    as_coordinator.post(reverse("owed_let_go", args=[Promise.objects.get().pk]))

    assert Promise.objects.get().state == "lapsed"


def make_promise(**differences):
    household = differences.pop("household", None) or make_household()
    fields = {"household": household, "counted_under": household, "made_at": AT}
    fields |= {"workshop": make_workshop()} if "owed_from" not in differences else {}
    return Promise(**fields | differences)


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"workshop": None}, "kept at a workshop, or owed after one"),
        ({"state": "fulfilled"}, "fulfilled by a handout"),
        ({"state": "lapsed"}, "lapsed says when"),
        ({"lapsed_at": AT}, "lapsed says when"),
    ],
)
def test_a_broken_promise_is_refused_by_form_and_database(differences, sentence):
    promise = make_promise(**differences)

    with pytest.raises(ValidationError, match=sentence):
        promise.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        promise.save()


def test_a_bin_that_is_owed_has_a_day():
    promise = make_promise(owed_from=make_workshop())

    with pytest.raises(ValidationError, match="by which day"):
        promise.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        promise.save()


def test_one_bin_is_kept_for_a_household():
    first = make_promise()
    first.save()
    second = make_promise(household=first.household)

    with pytest.raises(ValidationError, match="already kept for this household"):
        second.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        second.save()


def test_a_bin_delivered_belongs_to_no_workshop():
    handout = make_handout(workshop=make_workshop())
    handout.how = "delivery"

    with pytest.raises(ValidationError, match="belongs to no workshop"):
        handout.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        handout.save()
