"""Which warming potentials a funder asks for is a setting of the filing; memo lines are never added in."""

import pytest
from django.urls import reverse

from outreach.filings.models import Filing, FilingDraft
from tests.filings.programmes import programme
from tests.filings.test_pages import latest_offered

pytestmark = pytest.mark.django_db

# kg CO2e per kg of methane and of nitrous oxide, over 100 and 20 years. AR4 Table 2.14 and AR5 Table 8.A.1 for 100
# years are those of the package `globalwarmingpotentials`; methane not of fossil origin of AR6 Table 7.15 is
# second-hand, all of 20 years from memory.
POTENTIALS = {
    ("AR4", 100): (25, 298),
    ("AR5", 100): (28, 265),
    ("AR6", 100): (27.0, 273),
    ("AR4", 20): (72, 289),
    ("AR5", 20): (84, 264),
    ("AR6", 20): (79.7, 273),
}


def filed(client, jurisdiction, report, horizon) -> Filing:
    choices = {"jurisdiction": jurisdiction.pk, "period": latest_offered(client), "odds": "2"}
    client.post(reverse("filing_begin"), choices | {"report": report, "horizon": str(horizon)})
    draft = FilingDraft.objects.get()
    client.post(reverse("filing_submit", args=[draft.pk]), {"reasons": "The funder asks for another."})
    return Filing.objects.latest("pk")


def figures_of(filing: Filing) -> dict[tuple[str, str], float]:
    return {
        (one["name"], one["stream"]): one["headline"]["value"]
        for one in filing.report["account"]["period"]["figures"]
    }


@pytest.mark.parametrize(("report", "horizon"), POTENTIALS)
def test_the_choice_on_the_form_makes_the_net_and_stands_in_the_filing(as_coordinator, report, horizon):
    filing = filed(as_coordinator, programme(), report, horizon)

    found, (ch4, n2o) = figures_of(filing), POTENTIALS[report, horizon]
    composted = found["gross", "both"] - found["composted_before", "both"]
    emitted = composted * (4 * ch4 + 0.24 * n2o) / 1000
    assert found["process", "both"] == pytest.approx(emitted)
    assert found["net", "both"] == pytest.approx(found["methane_lifetime", "both"] * ch4 / 1000 - emitted)
    page = as_coordinator.get(filing.get_absolute_url()).content.decode()
    assert f"Warming potentials: {report}, {horizon} years, methane not of fossil origin." in page


def test_memo_lines_stand_beside_the_net_and_are_not_in_it(as_coordinator):
    filing = filed(as_coordinator, programme(), "AR6", 100)

    found = figures_of(filing)
    assert found["stored_carbon", "yard"] > 0
    without = found["methane_lifetime", "both"] * 27.0 / 1000 - found["process", "both"]
    assert found["net", "both"] == pytest.approx(without)
    page = as_coordinator.get(filing.get_absolute_url()).content.decode()
    assert "Beside it: carbon that would have stayed buried" in page
    assert "Not in the net: carbon of garden trimmings" in page
