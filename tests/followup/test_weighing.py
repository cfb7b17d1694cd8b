"""Weigh-ins: who is drawn, what they reply, and the weeks they type."""

import datetime

import pytest
from django.core.exceptions import ValidationError

from outreach.followup import weighed_weeks, weighing
from outreach.followup.amount_reader import AmountReader
from outreach.followup.models import WeighedWeek, WeighIn
from outreach.followup.weighed_weeks import WeekAsTyped
from outreach.followup.weighing import Act
from outreach.followup.weighing_figures import Tally
from tests.factories.bins import make_stay
from tests.factories.followup import make_weigh_in, make_weigh_in_season, make_weighed_week
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction

pytestmark = pytest.mark.django_db
AT = datetime.datetime(2026, 3, 9, 12, tzinfo=datetime.UTC)


@pytest.fixture
def act(coordinator):
    return Act(by=coordinator, at=AT)


def homes(count):
    """Of one stratum."""
    here = make_jurisdiction()
    return [make_stay(household=make_household(jurisdiction=here)).household for _ in range(count)]


def typed(reported, weighed, *, week=1, material="food"):
    return WeekAsTyped(week=week, material=material, reported=reported, weighed=weighed)


def record(act, weigh_in, row):
    return weighed_weeks.record_week(weigh_in=weigh_in, typed=row, amounts=AmountReader.load(), act=act)


def test_recruits_are_drawn_and_the_season_says_how(act):
    homes(12)
    season = make_weigh_in_season()

    weighing.draw_recruits(season=season, size=5, seed=77, act=act)

    season.refresh_from_db()
    assert (season.seed, season.drawn_from, season.drawn_by, season.drawn_at) == (77, 12, act.by, AT)
    rows = WeighIn.objects.of_season(season)
    assert [(row.draw_place, row.reply) for row in rows] == [(n, "waiting") for n in range(1, 6)]


def test_drawing_more_goes_on_under_the_first_seed(act):
    homes(12)
    apart, at_once = make_weigh_in_season(), make_weigh_in_season(name="Another")
    for size, seed in ((4, 77), (3, 1)):
        weighing.draw_recruits(season=apart, size=size, seed=seed, act=act)
    weighing.draw_recruits(season=at_once, size=7, seed=77, act=act)

    apart.refresh_from_db()
    places = [
        list(WeighIn.objects.of_season(one).values_list("draw_place", "household"))
        for one in (apart, at_once)
    ]
    assert places[0] == places[1]
    assert (apart.seed, apart.drawn_from) == (77, 12)


def test_a_volunteer_is_not_drawn_again_and_stays_one(act):
    (home,) = homes(1)
    season = make_weigh_in_season()
    made = weighing.add_volunteer(season=season, household=home, act=act)

    assert (made.is_volunteer, made.reply) == (True, "agreed")
    with pytest.raises(ValidationError, match="Only 0 households"):
        weighing.draw_recruits(season=season, size=1, seed=1, act=act)
    with pytest.raises(ValidationError, match="already on the list"):
        weighing.add_volunteer(season=season, household=home, act=act)


def test_nobody_is_drawn_for_a_season_that_is_over(act):
    season = make_weigh_in_season(from_on=datetime.date(2025, 3, 2))

    with pytest.raises(ValidationError, match="This season is over"):
        weighing.draw_recruits(season=season, size=1, seed=1, act=act)


def test_that_half_agreed_is_counted_of_the_drawn_alone():
    season = make_weigh_in_season(seed=1)
    replies = ["agreed", "agreed", "declined", "no_reply"]
    drawn = [make_weigh_in(season=season, draw_place=n, reply=r) for n, r in enumerate(replies, start=1)]

    tally = Tally.of([*drawn, make_weigh_in(season=season)])

    assert tally == Tally(drawn=4, agreed=2, declined=1, no_reply=1, waiting=0, volunteers=1)
    assert tally.half_agreed
    assert not Tally.of([*drawn, make_weigh_in(season=season, draw_place=5, reply="waiting")]).half_agreed
    assert not Tally.of([]).half_agreed


def test_the_scale_goes_out_and_comes_back():
    home = make_weigh_in(draw_place=1, reply="waiting")
    days = {"scale_out_on": datetime.date(2026, 3, 1), "scale_back_on": datetime.date(2026, 4, 1)}

    with pytest.raises(ValidationError, match="Record the reply first"):
        weighing.note_progress(weigh_in=home, changes=days)
    weighing.note_progress(weigh_in=home, changes={"reply": "agreed", **days})

    home.refresh_from_db()
    assert (home.reply, home.scale_out_on, home.scale_back_on) == ("agreed", *days.values())


def test_who_has_weighed_has_agreed():
    home = make_weigh_in(draw_place=1)
    make_weighed_week(weigh_in=home)

    with pytest.raises(ValidationError, match="so it did agree"):
        weighing.note_progress(weigh_in=home, changes={"reply": "declined"})


@pytest.mark.parametrize(
    ("reported", "weighed", "ml", "grams"),
    [
        ("10 L", "3.1 kg", 10_000, 3_100),
        ("10", "3.1", 10_000, 3_100),
        ("2 gallons", "5 lb", 7_571, 2_268),
        ("2,5", "0,8", 2_500, 800),
        ("0", "0", 0, 0),
        ("none", "nothing", 0, 0),
    ],
)
def test_amounts_are_read_as_people_write_them(act, reported, weighed, ml, grams):
    """A US gallon is 3.785412 L and a pound 453.592 g: NIST Handbook 44, appendix C."""
    row = record(act, make_weigh_in(), typed(reported, weighed))

    assert (row.reported_ml, row.weighed_g, row.waits) == (ml, grams, False)
    assert (row.entered_by, row.entered_at) == (act.by, AT)


@pytest.mark.parametrize(
    ("reported", "weighed", "sentence"),
    [
        ("10 L", "", "Give both"),
        ("", "2 kg", "Give both"),
        ("some", "2 kg", "is not an amount"),
        ("3 lb", "2 kg", "is a weight. Give the volume"),
        ("10 L", "2 gallons", "is a volume. Give what the scale showed"),
        ("-3", "2", "is not an amount"),
        ("10", "-2", "is not an amount"),
        ("900000", "2", "from 0 to 1000 litres"),
        ("100", "301", "from 0 to 300 kg"),
    ],
)
def test_what_cannot_be_is_refused_and_says_so(act, reported, weighed, sentence):
    with pytest.raises(ValidationError, match=sentence):
        record(act, make_weigh_in(), typed(reported, weighed))

    assert not WeighedWeek.objects.exists()


def test_a_week_of_another_season_or_of_who_has_not_agreed_is_refused(act):
    with pytest.raises(ValidationError, match="has weeks 1 to 4"):
        record(act, make_weigh_in(), typed("10", "3", week=5))
    with pytest.raises(ValidationError, match="agreed to weigh"):
        record(act, make_weigh_in(draw_place=1, reply="waiting"), typed("10", "3"))


@pytest.mark.parametrize(
    ("reported", "weighed", "doubt"),
    [
        ("10", "11", "more than so much water"),
        ("100", "4", "less than a fifth of the lightest"),
        ("0", "2", "nothing would have been reported"),
        ("10", "0", "nothing was weighed"),
    ],
)
def test_a_doubtful_week_waits_until_someone_has_looked(act, reported, weighed, doubt):
    row = record(act, make_weigh_in(), typed(reported, weighed))

    assert row.waits
    assert doubt in row.review_reason
    assert list(WeighedWeek.objects.in_review()) == [row]
    assert not WeighedWeek.objects.counting().exists()

    weighed_weeks.settle(row=row, counts=True, why="", act=act)
    assert WeighedWeek.objects.counting().exists()


def test_a_week_set_aside_says_why_and_may_count_again(act):
    row = record(act, make_weigh_in(), typed("10", "3"))

    with pytest.raises(ValidationError, match="Say why"):
        weighed_weeks.settle(row=row, counts=False, why=" ", act=act)
    row = weighed_weeks.settle(row=row, counts=False, why="The scale was broken", act=act)
    assert (row.is_set_aside, row.why_set_aside, row.reviewed_by) == (True, "The scale was broken", act.by)
    assert not WeighedWeek.objects.counting().exists()

    row = weighed_weeks.settle(row=row, counts=True, why="", act=act)
    assert (row.is_set_aside, row.why_set_aside) == (False, "")


def test_what_was_decided_stands_until_the_week_is_typed_anew(act):
    home = make_weigh_in()
    row = record(act, home, typed("10", "11"))
    weighed_weeks.settle(row=row, counts=True, why="", act=act)

    assert not record(act, home, typed("10", "11")).waits
    assert record(act, home, typed("10", "12")).waits
    assert not record(act, home, typed("10", "3")).waits
    assert WeighedWeek.objects.count() == 1
