"""What homes weighed against what they reported: which weeks count, whose, and the ratio they give."""

import datetime

import pytest

from outreach.followup.models import WeighedWeek
from outreach.followup.weighed_homes import HomeSums, WeighedMaterial, weighed
from outreach.followup.weighing_figures import shown
from tests.factories.followup import make_weigh_in, make_weigh_in_season, make_weighed_week

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]
END = datetime.date(2026, 3, 29)


def weigh(season, *amounts, place=None, material="food"):
    """One home with a week for each pair of millilitres and grams."""
    home = make_weigh_in(season=season, draw_place=place)
    for week, (ml, grams) in enumerate(amounts, start=1):
        make_weighed_week(weigh_in=home, week=week, material=material, reported_ml=ml, weighed_g=grams)
    return home


def test_the_ratio_of_a_small_case_worked_by_hand():
    """Twenty homes: ten report 10 L and weigh 2 kg, ten report 20 L and weigh 7 kg.

    w = 90 kg / 300 L = 0.3. Residuals kg − 0.3 L are −1 and +1, so their squares add up to 20; the variance is
    (20/19) · 20 / 300² and the standard error √(400/19)/300 = 0.0152944 kg/L. Ratio estimator of Cochran (1977),
    Sampling Techniques, section 2.11, without finite population correction. With t(19) at 95 %, 1.729133 (printed
    t tables), on the log scale: 0.3 · exp(± 1.729133 · 0.0152944 / 0.3) = 0.274687 and 0.327645.
    """
    season = make_weigh_in_season()
    for _ in range(10):
        weigh(season, (6_000, 1_500), (4_000, 500))
        weigh(season, (20_000, 7_000))

    ratio = weighed("food", on=END).calibration()

    assert ratio.homes == 20
    assert ratio.kg_per_litre == pytest.approx(0.3, rel=1e-12)
    assert ratio.standard_error == pytest.approx(0.0152944, rel=1e-5)
    assert (ratio.lower, ratio.upper) == pytest.approx((0.274687, 0.327645), rel=1e-5)


def test_weeks_that_have_not_ended_by_the_day_do_not_count():
    """The season begins on 2 March: its second week ends on the 15th."""
    weigh(make_weigh_in_season(), (10_000, 3_000), (20_000, 5_000), (1_000, 400))

    assert weighed("food", on=datetime.date(2026, 3, 14)).homes == (
        HomeSums(reported_ml=10_000, weighed_g=3_000),
    )
    assert weighed("food", on=datetime.date(2026, 3, 15)).homes == (
        HomeSums(reported_ml=30_000, weighed_g=8_000),
    )
    assert weighed("food", on=datetime.date(2026, 3, 1)).homes == ()


def test_doubtful_weeks_and_those_set_aside_are_out_until_they_count(coordinator):
    home = weigh(make_weigh_in_season(), (10_000, 3_000), (10_000, 4_000), (10_000, 5_000))
    WeighedWeek.objects.filter(weigh_in=home, week=2).update(review_reason="odd")
    WeighedWeek.objects.filter(weigh_in=home, week=3).update(
        is_set_aside=True, why_set_aside="wet", reviewed_at=datetime.datetime.now(datetime.UTC),
        reviewed_by=coordinator,
    )  # fmt: skip

    assert weighed("food", on=END).homes == (HomeSums(reported_ml=10_000, weighed_g=3_000),)
    page = shown(WeighedWeek.Material.FOOD, on=END)
    assert (page.waiting, page.set_aside, page.homes, page.ratio) == (1, 1, 1, None)


def test_materials_are_kept_apart_and_nothing_of_one_is_no_home_of_it():
    season = make_weigh_in_season()
    weigh(season, (10_000, 3_000))
    weigh(season, (30_000, 3_000), material="yard")
    weigh(season, (0, 0), material="yard")

    assert len(weighed("food", on=END).homes) == 1
    assert weighed("yard", on=END).homes == (HomeSums(reported_ml=30_000, weighed_g=3_000),)


def test_two_seasons_of_one_household_are_one_home():
    home = weigh(make_weigh_in_season(), (10_000, 3_000))
    again = make_weigh_in(
        season=make_weigh_in_season(name="Winter", from_on=datetime.date(2026, 1, 5)),
        household=home.household,
    )
    make_weighed_week(weigh_in=again, reported_ml=5_000, weighed_g=2_000)

    assert weighed("food", on=END).homes == (HomeSums(reported_ml=15_000, weighed_g=5_000),)


@pytest.mark.parametrize(("silent", "are_volunteers"), [(20, False), (21, True)])
def test_drawn_homes_stand_for_everybody_only_if_half_of_those_asked_weighed(silent, are_volunteers):
    season = make_weigh_in_season(seed=1)
    for place in range(1, 21):
        weigh(season, (10_000, 3_000 + place), place=place)
    for place in range(21, 21 + silent):
        make_weigh_in(season=season, draw_place=place, reply="no_reply")
    weigh(season, (10_000, 9_000))  # a volunteer, left out where the drawn are enough

    found = weighed("food", on=END)

    assert (len(found.homes), found.homes_drawn) == (20, 20 + silent)
    assert found.calibration().are_volunteers == are_volunteers


def test_drawn_homes_without_any_of_a_material_were_not_asked_about_it():
    """Of 30 drawn, 20 weighed trimmings, 8 weighed and had none, 2 declined: 20 of 22 is more than half."""
    season = make_weigh_in_season(seed=1)
    for place in range(1, 21):
        weigh(season, (10_000, 1_000 + place), place=place, material="yard")
    for place in range(21, 29):
        weigh(season, (0, 0), place=place, material="yard")
    for place in (29, 30):
        make_weigh_in(season=season, draw_place=place, reply="declined")

    found = weighed("yard", on=END)

    assert (len(found.homes), found.homes_drawn) == (20, 22)
    assert not found.calibration().are_volunteers


def test_too_few_drawn_homes_are_taken_together_with_volunteers_and_marked_so():
    season = make_weigh_in_season(seed=1)
    for place in range(1, 13):
        weigh(season, (10_000, 3_000 + place), place=place)
    for _ in range(8):
        weigh(season, (10_000, 3_000))

    found = weighed("food", on=END)

    assert (len(found.homes), found.homes_drawn) == (20, None)
    assert found.calibration().are_volunteers
    assert WeighedMaterial(material="food", homes=found.homes[:19]).calibration_if_any() is None
