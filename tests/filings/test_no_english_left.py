"""The report in Spanish has no fixed words of English left: every section, with money, findings and exceptions."""

import datetime
import re

import pytest

from outreach.filings.documents.wording import SENTENCE_ENDS, in_language
from outreach.filings.report import Number, Report, Section
from outreach.places.models import Jurisdiction
from tests.factories.bins import make_bin_model, make_exception, make_handout, make_order
from tests.factories.funding import make_cost, make_funding_source, make_hours, make_line
from tests.factories.households import make_household
from tests.factories.places import make_district, make_jurisdiction
from tests.factories.staff import make_member
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db
IN_PERIOD = datetime.date(2025, 5, 10)
AT = datetime.datetime(2025, 5, 11, tzinfo=datetime.UTC)
# Titles of sources are as published, keys are keys, and what people wrote is theirs.
NOT_OURS = {"Key", "Source", "Where", "Where the rate is published", "Answered in writing"}
# Names, quarters, units of measure, and words that both languages spell alike.
ALIKE = re.compile(
    r"|–|\d[\d.,/-]*|\d{4}(-Q\d)?(, \d+)?|t|kg|L|lb|\$|%|kg/L|kg/t|kg CH4|t CO2e?|kg CO2e?/(t|kg)"
    r"|Material|Total|p, 2025-Q2|Quillby(/.*)?|Organics grant \d+|Flyers, .*"
)


@pytest.fixture(params=[Jurisdiction.MassUnit.TONNE, Jurisdiction.MassUnit.SHORT_TON])
def place(request):
    place = programme(jurisdiction=make_jurisdiction(name="Quillby", mass_unit=request.param))
    rigid = make_bin_model(family="rigid")
    order = make_order(bin_model=rigid, unit_price_cents=4000)
    member = make_member()
    odd = make_exception(reason="The first one broke.", reasoned_at=AT, allowed_by=member)
    common = {"bin_model": rigid, "handed_on": IN_PERIOD, "copay_cents": 500}
    district = make_district(jurisdiction=place, name="Harbour")
    make_handout(household=make_household(jurisdiction=place, district=district), order=order, **common)
    make_handout(household=make_household(jurisdiction=place), exception=odd, **common)
    match = make_funding_source(match_required_cents=50_000)
    lines = [make_line(kind=kind) for kind in ("printing", "staff", "mileage")] + [
        make_line(kind="venue", source=match)
    ]
    make_cost((lines[0], 3000), (lines[3], 7000), spent_on=IN_PERIOD)
    make_cost((lines[1], 100), (lines[2], 200), spent_on=IN_PERIOD)
    make_hours((match, 180), given_on=IN_PERIOD)
    return place


def fixed_words(section: Section) -> list[str]:
    words = [section.heading]
    words += [sentence for text in section.paragraphs for sentence in SENTENCE_ENDS.split(text)]
    for chart in section.charts:
        words += [chart.caption, chart.unit, chart.alt, *chart.series, *(bar.label for bar in chart.bars)]
    for table in section.tables:
        words += [table.caption, *SENTENCE_ENDS.split(table.note)]
        words += [word for column in table.columns for word in (column.heading, column.unit)]
        ours = [column.heading not in NOT_OURS for column in table.columns]
        for row in (*table.rows, *((table.total,) if table.total else ())):
            words += [
                sentence
                for cell, is_ours in zip(row, ours, strict=True)
                if is_ours and not isinstance(cell, Number)
                for sentence in SENTENCE_ENDS.split(cell)
            ]
    return words


@pytest.mark.parametrize("is_everywhere", [False, True])
def test_no_fixed_words_of_the_report_stay_english(place, is_everywhere):
    report = Report.from_dict(submit(None if is_everywhere else place).report)

    spanish = in_language(report, "es")

    kept = {
        f"{ours.key}: {word}"
        for ours, theirs in zip(report.sections, spanish.sections, strict=True)
        for word in set(fixed_words(ours)) & set(fixed_words(theirs))
        if not ALIKE.fullmatch(word)
    }
    assert kept == set()
    assert {"money", "strata", "method", "factors", "open_points"} <= {one.key for one in report.sections}


def test_in_spanish_short_tons_are_short_tons(place):
    report = in_language(Report.from_dict(submit(place).report), "es")

    is_short = place.mass_unit == Jurisdiction.MassUnit.SHORT_TON
    said = " ".join([report.summary, *(word for section in report.sections for word in fixed_words(section))])
    assert ("toneladas cortas" in said) == is_short
    assert ("lb por semana" in said) == is_short
