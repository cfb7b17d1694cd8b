"""A stop or pause heard of outside the waves, from whichever source, in the household-weeks that a filing gathers."""

import datetime
import html
import re

import pytest
from django.urls import reverse

from diversion.inputs import Quarter
from outreach.bins import stays
from outreach.bins.models import Handout
from outreach.filings import gathering
from outreach.filings.gathering import Scope
from tests.factories.bins import make_handout
from tests.factories.coaching import make_complaint, make_help_request
from tests.factories.followup import make_answer
from tests.factories.households import make_household

pytestmark = [pytest.mark.django_db, pytest.mark.postgres]

HANDED, ENDED, AGAIN = datetime.date(2025, 1, 10), datetime.date(2025, 5, 1), datetime.date(2025, 6, 1)
APRIL, APRIL_TO_JUNE = 30, 91
# June, less the two weeks with which every use begins.
JUNE = 30 - 14


@pytest.fixture
def home():
    household = make_household()
    make_handout(household=household, handed_on=HANDED)
    stays.rebuild([household])
    return household


def weeks(household):
    """Household-weeks of the second quarter, with a cut-off after it."""
    scope, cut_off = Scope(jurisdiction=household.jurisdiction), datetime.date(2025, 8, 14)
    cells = gathering.gather_quarter(Quarter(year=2025, quarter=2), scope=scope, cut_off=cut_off)
    return sum(cell.days for cell in cells.exposure) / 7


def address_on(page, path):
    """The address of a link on a page that leads to a path, with what it carries along."""
    found = re.search(rf'href="({re.escape(path)}[^"]*)"', page.content.decode())
    assert found, f"no link to {path}"
    return html.unescape(found.group(1))


def through_its_page(client, request, household, *, until=""):
    """As the office does it: open the request, follow its button, keep what the form says it is known from."""
    asked = client.get(reverse("help_request", args=[request.pk]))
    form = address_on(asked, reverse("pause_add", args=[household.pk]))
    known_from = client.get(form).context["form"]["known_from"].value()
    client.post(form, {"from_on": ENDED, "until_on": until, "known_from": known_from})
    return known_from


def by_help(client, household):
    request = make_help_request(household=household, symptoms=["rats"])
    assert through_its_page(client, request, household) == "help"


def by_an_order(client, household):
    request = make_complaint(
        help_request=make_help_request(household=household, kind="complaint")
    ).help_request
    assert through_its_page(client, request, household) == "authority"


def by_a_move(client, household):
    client.post(reverse("move_out", args=[household.pk]), {"on": ENDED, "bin_after": "left_behind"})


def by_a_site_check(client, household):
    seen = {"outcome": "not_in_use", "checked_on": ENDED, "seen_by": "Isolde Kerr"}
    client.post(reverse("site_check_add", args=[household.pk]), seen)


def by_a_talk_elsewhere(client, household):
    form = address_on(
        client.get(reverse("household", args=[household.pk])), reverse("pause_add", args=[household.pk])
    )
    client.post(form, {"from_on": ENDED, "known_from": "other"})


def by_the_bin_coming_back(client, household):

    handout = Handout.objects.get()
    handout.returned_on = ENDED
    handout.save()
    stays.rebuild([household])


SOURCES = [by_help, by_an_order, by_a_move, by_a_site_check, by_a_talk_elsewhere, by_the_bin_coming_back]


@pytest.mark.parametrize("source", SOURCES)
def test_every_source_ends_the_use_in_the_gathered_weeks(as_coordinator, home, source):
    assert weeks(home) == APRIL_TO_JUNE / 7

    source(as_coordinator, home)

    assert weeks(home) == APRIL / 7


@pytest.mark.parametrize("kind", ["problem", "complaint"])
def test_a_pause_heard_of_in_help_interrupts_it(as_coordinator, home, kind):
    request = make_help_request(household=home, kind=kind)
    if kind == "complaint":
        make_complaint(help_request=request)

    through_its_page(as_coordinator, request, home, until=AGAIN)

    assert weeks(home) == (APRIL + JUNE) / 7


def test_a_stop_told_in_a_wave_leaves_the_weeks_and_counts_as_nothing(home):
    """The estimate hears of it through the answer, which is 0 from its day, not through fewer weeks."""
    make_answer(
        household=home,
        answered_on=ENDED,
        composting="stopped",
        food_ml_per_week=0,
        yard_ml_per_week=0,
        in_force_from_day=ENDED.toordinal(),
        in_force_until_day=9_999_999,
    )

    assert weeks(home) == APRIL_TO_JUNE / 7
    cells = gathering.gather_quarter(
        Quarter(year=2025, quarter=2),
        scope=Scope(jurisdiction=home.jurisdiction),
        cut_off=datetime.date(2025, 8, 14),
    )
    told = [(cell.answers, cell.still_composting, cell.days_food) for cell in cells.answers]
    assert told == [(1, False, 0)]
