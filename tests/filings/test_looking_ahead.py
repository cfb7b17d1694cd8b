"""The year ahead: what the records say about it, and the fan of what more workshops may bring."""

import datetime
import itertools

import pytest

from outreach.filings.gathering import Scope
from outreach.filings.looking_ahead import ASSUMED_UPTAKE, NothingToGoOn, look_ahead
from tests.factories.bins import make_handout
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
# The last full quarter is the second of 2025.
ON = datetime.date(2025, 8, 20)


def calendar_years(**size):
    """A programme whose fiscal year is the calendar year."""
    return programme(jurisdiction=make_jurisdiction(name="Quillby", fiscal_year_starts_month=1), **size)


def ahead(jurisdiction, **plan):
    return look_ahead(scope=Scope(jurisdiction=jurisdiction), on=ON, **{"workshops": 4, "bins": 25} | plan)


def middle(year):
    return year.fan[-1].tonnes[2]


def test_the_rest_of_the_year_is_forecast_from_the_last_full_quarter():
    found = ahead(calendar_years())

    assert (found.last_quarter, found.starts_on) == ("2025-Q2", datetime.date(2025, 7, 1))
    assert len(found.fan) == 6
    assert found.basis.households_now == 24
    # Nobody had answered by the first quarter's end, so it has no estimate.
    assert found.left_out == ("2025-Q1",)
    assert found.so_far_tonnes > 0
    assert 0 < found.kept_out_share < 1


def test_more_workshops_and_more_bins_bring_more():
    here = calendar_years()

    none, some, many = ahead(here, workshops=0), ahead(here), ahead(here, bins=50)

    assert middle(none) < middle(some) < middle(many)
    # Bins add alike: half as many add half as much, but for the draws.
    assert (middle(many) - middle(none)) == pytest.approx(2 * (middle(some) - middle(none)), rel=0.02)


def test_the_fan_opens_from_month_to_month_and_never_falls():
    fan = [point.tonnes for point in ahead(calendar_years()).fan]

    for before, after in itertools.pairwise(fan):
        assert all(late > early for early, late in zip(before, after, strict=True))
    assert all(tuple(sorted(points)) == points for points in fan)


def test_uptake_is_that_of_past_workshops_once_there_are_three():
    here = calendar_years()
    assert ahead(here).uptake.mean == ASSUMED_UPTAKE
    for out, planned in ((2, 4), (3, 4), (4, 4)):
        workshop = make_workshop(
            held_on=datetime.date(2025, 3, 1), state="held", jurisdiction=here, bins_planned=planned
        )
        for _ in range(out):
            make_handout(workshop=workshop, handed_on=workshop.held_on)

    uptake = ahead(here).uptake

    # By hand: shares 0.5, 0.75 and 1.
    assert (uptake.mean, uptake.sd, uptake.workshops) == (0.75, pytest.approx(0.25), 3)


def test_bins_that_went_home_since_the_quarter_ended_are_counted_as_out():
    here = calendar_years()
    workshop = make_workshop(held_on=datetime.date(2025, 8, 2), state="held", jurisdiction=here)
    before = middle(ahead(here, workshops=0))
    make_handout(workshop=workshop, handed_on=workshop.held_on)  # to a household of no place served
    for _ in range(5):
        make_handout(
            household=make_household(jurisdiction=here), workshop=workshop, handed_on=workshop.held_on
        )

    found = ahead(here, workshops=0)

    assert found.bins_out == 5
    assert middle(found) > before


def test_a_year_that_just_ended_gives_way_to_the_next():
    found = look_ahead(
        scope=Scope(jurisdiction=calendar_years()), on=datetime.date(2026, 1, 15), workshops=2, bins=20
    )

    assert len(found.fan) == 12
    assert found.so_far_tonnes == 0
    assert found.starts_on == datetime.date(2026, 1, 1)


def test_without_an_estimate_there_is_nothing_to_look_ahead_from():
    with pytest.raises(NothingToGoOn, match="bin in use"):
        ahead(make_jurisdiction())
    with pytest.raises(NothingToGoOn, match="too few"):
        ahead(programme(households=10, answers=2, jurisdiction=make_jurisdiction()))


def test_the_page_shows_the_fan_and_its_table_to_readers(client):
    here = calendar_years()
    client.force_login(make_member(role="auditor"))

    page = client.get("/filings/ahead/", {"workshops": 3, "bins": 20, "jurisdiction": here.pk})
    refused = client.get("/filings/ahead/", {"workshops": -1, "bins": 20})
    nothing = client.get(
        "/filings/ahead/", {"workshops": 3, "bins": 20, "jurisdiction": make_jurisdiction().pk}
    )

    text = page.content.decode()
    assert page.status_code == 200
    assert "band-outer" in text
    assert text.count('<tr><th scope="row">') >= len(page.context["forecast"].ahead.fan)
    assert "With 3 more workshops of 20 bins each in Quillby" in text
    assert refused.status_code == 422
    assert "There is nothing to look ahead from" in nothing.content.decode()
