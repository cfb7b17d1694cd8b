"""Facts about bins from paperwork: nothing refused, and the same end whatever order they come in."""

import datetime
import random
import uuid
from collections import Counter

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from outreach.bins import excepting, handing_out, ledger, recording_facts
from outreach.bins.models import Handout, RuleException, Stay, StockBalance
from outreach.bins.recording_facts import HandoutFact
from tests.factories.bins import make_bin_model, make_rule, make_stock_place
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

AT = datetime.datetime(2025, 6, 1, 18, tzinfo=datetime.UTC)
MAY = datetime.date(2025, 5, 1)


def fact(household, bin_model, day=0, **differences) -> HandoutFact:
    handed_on = MAY + datetime.timedelta(days=day)
    instant = datetime.datetime.combine(handed_on, datetime.time(18), datetime.UTC)
    facts = {"household": household, "bin_model": bin_model, "handed_on": handed_on, "happened_at": instant}
    return HandoutFact(**facts | differences)


def end_state() -> dict:
    """What must not depend on the order of arrival, named by events instead of numbers."""
    handouts = {
        str(h.event_id): (
            h.slot,
            h.window_from_on,
            h.exception.kind if h.exception else "",
            h.exception.about if h.exception else "",
            h.stock_exception.about if h.stock_exception else "",
        )
        for h in Handout.objects.select_related("exception", "stock_exception")
    }
    stays = Stay.objects.values_list("counted_under", "household", "family", "from_day", "until_day")
    balances = StockBalance.objects.values_list("place", "bin_model", "on_hand", "excused")
    return {
        "handouts": handouts,
        "stays": sorted(stays),
        "balances": sorted(balances),
        "exceptions": RuleException.objects.count(),
    }


def test_the_earliest_of_two_facts_holds_the_place_whichever_arrives_first():
    household, bin_model, place = make_household(), make_bin_model(), make_stock_place()

    late = recording_facts.record_facts([fact(household, bin_model, 10)], from_place=place, by=None, at=AT)[0]
    early = recording_facts.record_facts([fact(household, bin_model, 2)], from_place=place, by=None, at=AT)[0]

    late.refresh_from_db()
    assert (early.slot, late.slot) == (1, None)
    assert late.exception.kind == "second_bin"
    assert "3 May 2025" in late.exception.about


def test_once_a_person_gave_the_reason_an_earlier_fact_changes_that_ruling_no_more():
    household, bin_model, place = make_household(), make_bin_model(), make_stock_place()
    facts = [fact(household, bin_model, 10), fact(household, bin_model, 12)]
    _first, second = recording_facts.record_facts(facts, from_place=place, by=None, at=AT)
    excepting.give_reason(exception=second.exception, reason="Twins", by=make_member(), at=AT)

    recording_facts.record_facts([fact(household, bin_model, 2)], from_place=place, by=None, at=AT)

    kinds = Handout.objects.order_by("handed_on").values_list("slot", "exception__reason")
    assert list(kinds) == [(1, None), (None, ""), (None, "Twins")]


def test_a_bin_that_left_an_empty_shelf_is_recorded_and_one_flag_speaks_for_the_day():
    bin_model, place = make_bin_model(), make_stock_place()
    ledger.receive(bin_model=bin_model, quantity=1, to_place=place, received_on=MAY, by=make_member(), at=AT)
    facts = [fact(make_household(), bin_model, 3) for _ in range(3)]

    recording_facts.record_facts(facts, from_place=place, by=None, at=AT)

    flag = RuleException.objects.get()
    assert flag.kind == "none_on_ledger"
    assert flag.stock_handouts.count() == 2
    assert StockBalance.objects.values_list("on_hand", "excused").get() == (-2, 2)


def test_a_stock_list_that_comes_later_takes_the_flag_away():
    bin_model, place = make_bin_model(), make_stock_place()
    recording_facts.record_facts([fact(make_household(), bin_model)], from_place=place, by=None, at=AT)

    ledger.receive(bin_model=bin_model, quantity=5, to_place=place, received_on=MAY, by=None, at=AT)

    assert not RuleException.objects.exists()
    assert StockBalance.objects.values_list("on_hand", "excused").get() == (4, 0)


def test_a_resident_of_elsewhere_is_recorded_and_flagged():
    household = make_household(jurisdiction=None)

    handout = recording_facts.record_facts(
        [fact(household, make_bin_model())], from_place=make_stock_place(), by=None, at=AT
    )[0]

    assert handout.slot is None
    assert handout.exception.kind == "outside_area"


def test_the_same_event_twice_is_one_fact():
    household, bin_model, place = make_household(), make_bin_model(), make_stock_place()
    once = fact(household, bin_model)

    first = recording_facts.record_facts([once, once], from_place=place, by=None, at=AT)
    again = recording_facts.record_facts([once], from_place=place, by=None, at=AT)

    assert {handout.pk for handout in [*first, *again]} == {Handout.objects.get().pk}
    assert StockBalance.objects.get().on_hand == -1


@pytest.mark.slow
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    drawn=st.lists(
        st.tuples(st.integers(0, 4), st.integers(0, 1), st.integers(0, 40)), min_size=2, max_size=14
    ),
    shuffled=st.randoms(use_true_random=False),
    slots=st.integers(1, 2),
    stocked=st.integers(0, 8),
)
def test_any_order_of_the_same_facts_gives_the_same_end(drawn, shuffled, slots, stocked, django_db_blocker):
    from django.db import transaction

    states = []
    number = iter(range(10_000))
    try:
        with transaction.atomic():
            make_rule(slots=slots)
            households = [make_household() for _ in range(4)] + [make_household(jurisdiction=None)]
            models = [make_bin_model(), make_bin_model(family="rigid")]
            place = make_stock_place()
            ledger.receive(bin_model=models[0], quantity=9, to_place=place, received_on=MAY, by=None, at=AT)
            if stocked:
                ledger.receive(
                    bin_model=models[1], quantity=stocked, to_place=place, received_on=MAY, by=None, at=AT
                )
            facts = [
                fact(households[h], models[m], day, event_id=uuid.UUID(int=next(number)))
                for h, m, day in drawn
            ]
            for order in (facts, shuffled.sample(facts, len(facts)), facts[::-1]):
                states.append(state_after(order, place, shuffled))
            raise RuntimeError
    except RuntimeError:
        pass

    assert states[0] == states[1] == states[2]


def state_after(facts, place, rng) -> dict:
    """The end after these facts, taken in in pieces of some size, then undone."""
    from django.db import transaction

    state = {}
    try:
        with transaction.atomic():
            while facts:
                size = rng.randint(1, 5)
                recording_facts.record_facts(facts[:size], from_place=place, by=None, at=AT)
                facts = facts[size:]
            state = end_state()
            raise RuntimeError
    except RuntimeError:
        return state


def test_bulk_agrees_with_handing_out_one_by_one():
    rng = random.Random(20250509)
    jurisdiction, by = make_jurisdiction(), make_member()
    models, place = [make_bin_model(), make_bin_model(family="rigid")], make_stock_place()
    for bin_model in models:
        ledger.receive(bin_model=bin_model, quantity=60, to_place=place, received_on=MAY, by=by, at=AT)
    twins = [[make_household(jurisdiction=jurisdiction) for _ in range(30)] for _ in range(2)]
    drawn = sorted((rng.randrange(30), rng.randrange(2), rng.randrange(30)) for _ in range(60))
    drawn.sort(key=lambda row: row[2])

    recording_facts.record_facts(
        [fact(twins[0][h], models[m], day) for h, m, day in drawn], from_place=place, by=by, at=AT
    )
    in_bulk = dict(StockBalance.objects.values_list("bin_model", "on_hand"))
    for h, m, day in drawn:
        one = fact(twins[1][h], models[m], day)
        handing_out.hand_out(
            household=one.household,
            bin_model=one.bin_model,
            handed_on=one.handed_on,
            happened_at=one.happened_at,
            from_place=place,
            by=by,
            at=AT,
            exception_reason="two at once",
        )

    assert said_of(twins[0]) == said_of(twins[1])
    taken = Counter(models[m].pk for _h, m, _day in drawn)
    one_by_one = dict(StockBalance.objects.values_list("bin_model", "on_hand"))
    assert in_bulk == {pk: 60 - count for pk, count in taken.items()}
    assert one_by_one == {pk: 60 - 2 * count for pk, count in taken.items()}


def said_of(households) -> list:
    said = []
    for household in households:
        handouts = Handout.objects.filter(household=household).order_by("handed_on", "bin_model")
        stays = Stay.objects.filter(counted_under=household)
        said.append(
            (
                sorted(handouts.values_list("handed_on", "bin_model", "exception__kind", "slot"), key=str)
                if handouts.values("handed_on").distinct().count() == handouts.count()
                else handouts.filter(slot=1).count(),
                list(stays.values_list("from_day", "until_day")),
            )
        )
    return said
