"""The demo's weigh-in and visits, built from its own plan on a small set of households."""

import datetime

import pytest

from outreach.followup.models import SiteCheck, WeighedWeek, WeighIn
from outreach.followup.site_check_figures import compare
from outreach.followup.weighed_homes import weighed
from outreach.site.demo import weighing
from tests.factories.bins import make_bin_model, make_handout, make_stay
from tests.factories.followup import make_answer
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db


@pytest.fixture
def households():
    """Fifty with a bin since May 2025; half of them answered, one in five that they stopped."""
    here, model = make_jurisdiction(), make_bin_model()
    for number in range(50):
        home = make_household(jurisdiction=here)
        make_handout(household=home, bin_model=model)
        make_stay(household=home)
        if number % 2:
            said = "stopped" if number % 10 == 1 else "yes"
            make_answer(household=home, composting=said, answered_on=datetime.date(2026, 5, 4))


def test_enough_drawn_homes_weigh_food_and_too_few_trimmings(households):
    """The plan says 44 drawn, 10 declined, 10 silent; the fixture has 24 homes, 16 of them with trimmings."""
    weighing.weigh(by=make_member())

    replies = [WeighIn.objects.filter(reply=reply).count() for reply in ("agreed", "declined", "no_reply")]
    assert replies == [24, 10, 10]
    food, yard = (weighed(material, on=datetime.date(2026, 6, 1)) for material in ("food", "yard"))
    assert (len(food.homes), food.homes_drawn, len(yard.homes)) == (24, 44, 16)
    assert not food.calibration().are_volunteers
    assert yard.calibration_if_any() is None
    assert WeighedWeek.objects.in_review().count() == 1
    assert WeighedWeek.objects.set_aside().get().why_set_aside == "The scale stood on a slope"


def test_visits_mostly_see_what_was_said(households):
    weighing.visit(by=make_member())

    found = compare(since=datetime.date(2026, 9, 1), until=datetime.date(2026, 9, 30))
    assert found.visited == SiteCheck.objects.count() == 30
    assert sum(row.not_seen for row in found.rows) == 6
    differ = found.agreeing.of - found.agreeing.count
    assert differ <= 3
    assert 0.5 < found.agreeing.share < 1 or differ == 0
