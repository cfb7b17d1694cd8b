"""Site checks: lists, what was seen, the end of use, and what was seen beside what was said."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from statsmodels.stats.proportion import proportion_confint

from outreach.bins.models import Pause, Stay
from outreach.followup import site_check_figures, site_checking
from outreach.followup.models import SiteCheck
from outreach.followup.papers.route_sheet import in_order_of_the_way
from outreach.followup.site_check_figures import Comparison, SaidAndSeen
from outreach.followup.site_checking import Seen
from outreach.followup.weighing import Act
from tests.factories.bins import make_handout, make_stay
from tests.factories.followup import make_answer, make_site_check, make_site_check_list
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

pytestmark = pytest.mark.django_db
AT = datetime.datetime(2026, 3, 20, 12, tzinfo=datetime.UTC)
DAY = datetime.date(2026, 3, 10)
NEVER = {"in_force_from_day": 0, "in_force_until_day": 0}


@pytest.fixture
def act(coordinator):
    return Act(by=coordinator, at=AT)


def seen(outcome, on=DAY):
    return Seen(outcome=outcome, on=on, by_name="Wren Albury")


def with_bin():
    """A household whose bin went home in May 2025, with its stay."""
    home = make_handout().household
    make_stay(household=home)
    return home


def stay_of(home):
    """From the first day to the last of use, both as ordinals, and why it ended."""
    return list(Stay.objects.filter(counted_under=home).values_list("from_day", "until_day", "ended_because"))


def test_a_list_is_drawn_with_its_seed_and_says_from_how_many(act):
    here = make_jurisdiction()
    for _ in range(9):
        make_stay(household=make_household(jurisdiction=here))
    make_stay(household=make_household(jurisdiction=make_jurisdiction(name="Elsewhere")))

    made = site_checking.draw_list(name="Spring", jurisdiction=here, size=4, seed=3, act=act)

    assert (made.seed, made.drawn_from, made.size, made.drawn_by) == (3, 9, 4, act.by)
    checks = SiteCheck.objects.of_list(made)
    assert [(one.place, one.outcome) for one in checks] == [(n, "to_visit") for n in range(1, 5)]
    with pytest.raises(ValidationError, match="Only 9 households"):
        site_checking.draw_list(name="More", jurisdiction=here, size=10, seed=3, act=act)


def test_the_way_goes_by_zip_street_and_house_number_as_a_number():
    listed = make_site_check_list()
    addresses = [
        ("00419", "9 ALDER ST"),
        ("00418", "20 MARSH RD"),
        ("00418", "3 MARSH RD"),
        ("00418", "100 BIRCH AVE"),
    ]
    checks = [
        make_site_check(
            list=listed,
            place=n,
            outcome="to_visit",
            household=make_household(zip_code=zip_code, street_key=street),
        )
        for n, (zip_code, street) in enumerate(addresses, start=1)
    ]

    assert [checks.index(one) for one in in_order_of_the_way(checks)] == [3, 2, 1, 0]


def test_a_bin_seen_not_in_use_ends_its_use_on_that_day(act):
    home = with_bin()
    first_day = stay_of(home)[0][0]
    check = make_site_check(household=home, list=make_site_check_list(), place=1, outcome="to_visit")

    check = site_checking.record_visit(check=check, seen=seen("not_in_use"), act=act)

    assert stay_of(home) == [(first_day, DAY.toordinal(), "stopped")]
    assert (check.pause.known_from, check.seen_by, check.entered_by) == ("visit", "Wren Albury", act.by)


def test_a_correction_gives_the_days_of_use_back(act):
    home = with_bin()
    before = stay_of(home)
    check = make_site_check(household=home, list=make_site_check_list(), place=1, outcome="to_visit")
    for outcome in ("not_in_use", "in_use"):
        check = site_checking.record_visit(check=check, seen=seen(outcome), act=act)

    assert stay_of(home) == before
    assert check.pause is None
    assert not Pause.objects.standing().exists()


@pytest.mark.parametrize("outcome", ["in_use", "not_found", "nobody_home", "declined"])
def test_nothing_else_ends_the_use(act, outcome):
    home = with_bin()
    before = stay_of(home)

    site_checking.record_outside_a_draw(household=home, seen=seen(outcome), act=act)

    assert stay_of(home) == before


def test_a_bin_that_was_not_in_use_any_more_has_nothing_to_end(act):
    check = site_checking.record_outside_a_draw(household=make_household(), seen=seen("not_in_use"), act=act)

    assert (check.pause, check.is_drawn) == (None, False)
    again = site_checking.record_outside_a_draw(household=make_household(), seen=seen("in_use"), act=act)
    assert site_checking.contradicts_the_records(again)


def test_days_that_cannot_be_are_refused(act):
    check = make_site_check(list=make_site_check_list(), place=1, outcome="to_visit")

    for day, sentence in (
        (datetime.date(2026, 3, 21), "still to come"),
        (datetime.date(2026, 2, 1), "after"),
    ):
        with pytest.raises(ValidationError, match=sentence):
            site_checking.record_visit(check=check, seen=seen("in_use", on=day), act=act)


def visited(listed, place, outcome, said=None, on=DAY, answered_on=datetime.date(2026, 1, 5)):
    home = make_household()
    if said:
        make_answer(household=home, composting=said, answered_on=answered_on)
    return make_site_check(household=home, list=listed, place=place, outcome=outcome, checked_on=on)


def compare(**differences):
    span = {"since": datetime.date(2026, 1, 1), "until": datetime.date(2026, 3, 31)} | differences
    return site_check_figures.compare(**span)


def test_what_was_seen_stands_beside_what_was_said(act):
    listed = make_site_check_list()
    cases = [
        ("in_use", "yes"), ("in_use", "on_and_off"), ("not_in_use", "yes"), ("not_in_use", "stopped"),
        ("in_use", "stopped"), ("in_use", None), ("not_in_use", None), ("nobody_home", "yes"),
        ("not_found", "stopped"), ("declined", None),
    ]  # fmt: skip
    for place, (outcome, said) in enumerate(cases, start=1):
        visited(listed, place, outcome, said)
    make_site_check(list=listed, place=99, outcome="to_visit")
    make_site_check()

    found = compare()

    assert found == Comparison(
        rows=(
            SaidAndSeen(said="composting", in_use=2, not_in_use=1, not_seen=1),
            SaidAndSeen(said="stopped", in_use=1, not_in_use=1, not_seen=1),
            SaidAndSeen(said="no_answer", in_use=1, not_in_use=1, not_seen=1),
        ),
        outside_a_draw=1,
    )
    assert found.visited == len(cases)
    assert (found.agreeing.count, found.agreeing.of) == (3, 5)


def test_what_is_said_at_the_door_later_or_long_ago_is_not_compared():
    listed = make_site_check_list()
    days = (DAY, datetime.date(2026, 3, 15), DAY - datetime.timedelta(days=550))
    for place, day in enumerate(days, start=1):
        visited(listed, place, "in_use", "yes", answered_on=day)

    assert compare().row("no_answer").in_use == 3
    assert compare().agreeing is None


def test_only_the_answer_in_force_before_the_visit_counts():
    home, listed = make_household(), make_site_check_list()
    first, second = datetime.date(2026, 1, 5), datetime.date(2026, 2, 5)
    make_answer(household=home, answered_on=first, in_force_until_day=second.toordinal())
    make_answer(household=home, answered_on=second, composting="stopped")
    make_answer(household=home, answered_on=first, composting="yes", **NEVER)
    make_site_check(household=home, list=listed, place=1, outcome="not_in_use")

    assert compare().row("stopped").not_in_use == 1


def test_another_span_or_place_has_its_own_checks():
    here = make_jurisdiction(name="Elsewhere")
    visited(make_site_check_list(), 1, "in_use", "yes")

    assert compare().visited == 1
    assert compare(jurisdiction=here).visited == 0
    assert compare(until=datetime.date(2026, 3, 9)).visited == 0


@pytest.mark.parametrize(("agreeing", "of"), [(17, 20), (5, 5), (1, 30)])
def test_the_limits_are_those_of_wilson(agreeing, of):
    """statsmodels' proportion_confint with method='wilson', alpha 0.1."""
    rows = (
        SaidAndSeen(said="composting", in_use=agreeing, not_in_use=of - agreeing),
        SaidAndSeen(said="stopped"),
        SaidAndSeen(said="no_answer"),
    )

    share = Comparison(rows=rows).agreeing

    assert (share.lower, share.upper) == pytest.approx(
        proportion_confint(agreeing, of, alpha=0.1, method="wilson"), abs=1e-9
    )
