"""Weigh-ins and site checks in a browser: the grid with mistakes, the chart with its table, the lists."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.staff.roles import Role
from tests.factories.followup import (
    make_answer,
    make_site_check,
    make_site_check_list,
    make_weigh_in,
    make_weigh_in_season,
    make_weighed_week,
)
from tests.factories.households import make_household

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
WIDTHS = (1280, 360)


def faults_of(window):
    # A refused form answers with 422, which the browser reports as it does a missing picture.
    found = [one for one in window.complaints if "status of 422" not in one]
    for width in WIDTHS:
        window.page.set_viewport_size({"width": width, "height": 800})
        found += [f"{width}: {what}" for what in window.cut_off() + window.serious_barriers()]
    return found


@pytest.fixture
def season():
    """Thirty homes drawn, of whom 22 weighed, one of them with a doubtful week."""
    begun = timezone.localdate() - datetime.timedelta(days=30)
    season = make_weigh_in_season(from_on=begun, seed=7)
    for place in range(1, 31):
        weighs = place <= 22
        home = make_weigh_in(season=season, draw_place=place, reply="agreed" if weighs else "declined")
        for week in range(1, 5 if weighs else 1):
            make_weighed_week(
                weigh_in=home,
                week=week,
                reported_ml=3000 + 400 * place,
                weighed_g=900 + 140 * place * week % 4000,
            )
    make_weighed_week(
        weigh_in=home.season.weigh_ins.first(), material="yard", review_reason="heavier than water"
    )
    return season


def test_the_overview_shows_ratio_chart_and_table(look_as, season):
    window = look_as(Role.CITY_ANALYST)
    page = window.open(reverse("weigh_ins"))

    assert "from 22 homes" in page.inner_text("main")
    assert "Not enough yet: 0 of 20 homes" in page.inner_text("main")
    assert page.locator(".chart svg circle").count() == 22
    page.get_by_text("The numbers of this chart").click()
    assert page.locator(".chart tbody tr").count() == 22
    assert faults_of(window) == []


def test_weeks_are_typed_and_a_mistake_keeps_the_rest(look_as, season):
    home = season.weigh_ins.get(draw_place=1)
    home.weighed_weeks.all().delete()
    window = look_as(Role.COORDINATOR)
    page = window.open(reverse("weigh_in", args=[home.pk]))
    page.fill("#food-1-reported", "two pails")
    page.fill("#food-1-weighed", "2.4")
    page.fill("#food-2-reported", "10 L")
    page.get_by_role("button", name="Save the weeks").click()

    assert "Week 2, food scraps: Give both" in page.inner_text("main")
    assert page.input_value("#food-2-reported") == "10 L"
    assert [(row.week, row.weighed_g) for row in home.weighed_weeks.all()] == [(1, 2400)]
    assert faults_of(window) == []

    page.fill("#food-2-weighed", "12")
    page.get_by_role("button", name="Save the weeks").click()
    assert "waits: doubtful" in page.inner_text("main")
    doubtful = home.weighed_weeks.get(week=2)
    page.locator(f'a[href="{reverse("weighed_week_settle", args=[doubtful.pk])}"]').click()
    page.get_by_label("Why it is set aside").fill("The scale stood on a slope")
    page.get_by_role("button", name="Set it aside").click()
    assert "The scale stood on a slope" in page.inner_text("main")
    assert home.weighed_weeks.get(week=2).is_set_aside
    assert faults_of(window) == []


def test_who_visits_sees_no_answers(look_as):
    listed = make_site_check_list()
    for place, outcome in enumerate(("to_visit", "in_use", "not_in_use"), start=1):
        home = make_household()
        make_answer(household=home, composting="stopped", answered_on=datetime.date(2026, 2, 1))
        make_site_check(household=home, list=listed, place=place, outcome=outcome)
    window = look_as(Role.DOOR_CREW)
    page = window.open(reverse("site_checks"))
    page.get_by_role("link", name="Spring visits").click()

    assert "stopped" not in page.inner_text("main")
    assert faults_of(window) == []
    page.get_by_role("link", name="Record a visit").click()
    assert "stopped" not in page.inner_text("main")
    assert faults_of(window) == []

    window = look_as(Role.CITY_ANALYST)
    page = window.open(reverse("site_checks"))
    assert "agrees with what was said at 1 of 2 households: 50 %" in page.inner_text("main")
    assert faults_of(window) == []
