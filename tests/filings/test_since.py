"""What came after a filing is marked on its page and on Season, and is held against what was filed."""

import datetime

import pytest
from django.urls import reverse

from outreach.filings import since
from outreach.households.models import Household
from outreach.staff.roles import Role
from tests.factories.bins import make_handout
from tests.factories.followup import make_answer
from tests.factories.funding import make_cost
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit as filed

pytestmark = pytest.mark.django_db
# After the day on which the factory's answers were entered.
AT = datetime.datetime(2025, 12, 1, 12, tzinfo=datetime.UTC)
LATER = AT + datetime.timedelta(days=3)


def submit(place, **differences):
    return filed(place, **{"at": AT, "cut_off": AT.date()} | differences)


def late_answer(place, **differences):
    silent = Household.objects.filter(jurisdiction=place).order_by("pk").last()
    fields = {"answered_on": datetime.date(2025, 6, 1), "entered_at": LATER, "food_ml_per_week": 40_000}
    return make_answer(
        household=silent, food_trash_percent=100, food_composted_percent=0, **fields | differences
    )


def test_rows_about_the_period_that_came_later_are_named_by_kind():
    place = programme()
    filing = submit(place)
    late_answer(place)
    make_handout(
        household=make_household(jurisdiction=place), handed_on=datetime.date(2025, 4, 2), entered_at=LATER
    )

    found = {one.kind: (one.rows, one.first_about) for one in since.entered_since(filing)}

    assert found == {
        "Handouts": (1, datetime.date(2025, 4, 2)),
        "Answers": (1, datetime.date(2025, 6, 1)),
    }


def test_what_was_there_is_about_other_days_or_another_place_is_not_marked():
    place = programme()
    make_cost(spent_on=datetime.date(2025, 5, 9), entered_at=AT - datetime.timedelta(days=1))
    filing = submit(place)
    make_handout(
        household=make_household(jurisdiction=place), handed_on=datetime.date(2025, 7, 1), entered_at=LATER
    )
    elsewhere = make_household(jurisdiction=make_jurisdiction(name="Ferrow"))
    make_handout(household=elsewhere, handed_on=datetime.date(2025, 5, 1), entered_at=LATER)

    assert since.entered_since(filing) == []


def test_a_filing_nothing_came_after_would_print_the_same():
    filing = submit(programme())

    assert [one.has_moved for one in since.held_against_today(filing, on=AT.date())] == [False] * 3


def test_the_page_and_season_say_so_and_lead_to_the_figures_that_would_move(as_coordinator):
    place = programme()
    filing = submit(place)
    late_answer(place)

    page = as_coordinator.get(filing.get_absolute_url()).content.decode()
    season = as_coordinator.get(reverse("season")).content.decode()
    held = as_coordinator.get(reverse("filing_today", args=[filing.pk])).content.decode()

    assert "Answers: 1, about" in page
    assert reverse("filing_today", args=[filing.pk]) in page
    assert "1 row came after 2025-Q2 was filed" in season
    assert "would move at least one figure by more than its rounding" in held


def test_a_replaced_filing_is_not_watched_any_more(as_coordinator):
    place = programme()
    first = submit(place)
    late_answer(place)
    submit(place, restates=first, reasons="An answer came late.", at=LATER + datetime.timedelta(days=1))

    assert since.filings_with_later_rows() == []
    assert "Entered since" not in as_coordinator.get(first.get_absolute_url()).content.decode()


def test_only_the_office_holds_a_filing_against_today(as_role):
    filing = submit(programme(households=2, answers=0))

    assert as_role(Role.AUDITOR).get(reverse("filing_today", args=[filing.pk])).status_code == 403


def test_season_asks_as_often_however_many_filings_are_watched(django_assert_num_queries):
    first, second = programme(), make_jurisdiction(name="Ferrow")
    submit(first)
    late_answer(first)
    with django_assert_num_queries(2):
        one = since.filings_with_later_rows()

    submit(second)
    with django_assert_num_queries(2):
        two = since.filings_with_later_rows()

    assert [rows for _filing, rows in one] == [rows for _filing, rows in two] == [1]
    assert len(since.entered_since(one[0][0])) == 1


def test_without_filings_nothing_came_later(django_assert_num_queries):
    with django_assert_num_queries(1):
        assert since.filings_with_later_rows() == []
