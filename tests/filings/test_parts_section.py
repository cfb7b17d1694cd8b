"""Places, families, languages and funding sources as a filing prints them: parts that add up to the whole."""

import datetime

import pytest

from diversion.inputs import Quarter
from outreach.bins.models import Stay
from outreach.filings import composing, periods
from outreach.filings.gathering import Scope
from outreach.households.models import Household
from tests.factories.funding import make_funding_source
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db
CUT_OFF = datetime.date(2025, 8, 14)


def tables(jurisdiction):
    occasion = composing.compose(
        periods.calendar_quarter(Quarter(year=2025, quarter=2)),
        scope=Scope(jurisdiction=jurisdiction),
        cut_off=CUT_OFF,
        choices={},
    )
    return {table.key: table for table in composing.report_of(occasion).tables}


def first_words(table):
    return [row[0] for row in table.rows]


def test_no_language_and_no_source_known_prints_neither():
    jurisdiction = programme()
    Household.objects.update(language="")

    assert not {"by_language", "by_funding_source"} & set(tables(jurisdiction))


def test_languages_and_sources_add_up_to_the_whole():
    jurisdiction, grant = programme(), make_funding_source(name="Organics grant")
    numbers = sorted(Household.objects.values_list("pk", flat=True))
    Household.objects.update(language="en")
    Household.objects.filter(pk__in=numbers[::2]).update(language="es")
    Stay.objects.filter(household__in=numbers[:9]).update(funding_source=grant)

    made = tables(jurisdiction)

    assert first_words(made["by_language"]) == ["English", "Spanish"]
    assert first_words(made["by_funding_source"]) == ["no funding source on record", "Organics grant"]
    for key, households in (("by_language", [12, 12]), ("by_funding_source", [15, 9])):
        table = made[key]
        assert [row[1].value for row in table.rows] == households
        for column in (3, 4):
            assert sum(row[column].value for row in table.rows) == pytest.approx(table.total[column].value)
