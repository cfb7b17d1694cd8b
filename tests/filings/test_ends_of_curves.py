"""Where curves of how long households go on end, and that earlier filings keep theirs."""

import datetime
from dataclasses import replace

import pytest
from django.utils.translation import override

from diversion.findings import findings
from diversion.persistence import persistence
from outreach.filings import computing
from outreach.filings.documents.wording import SENTENCE_ENDS, worded
from outreach.filings.sections.persistence import FEW_ANSWERED, FEW_FOLLOWED, how_long
from outreach.followup.models import Answer
from tests.diversion.test_findings import make_facts
from tests.filings.programmes import programme
from tests.filings.test_persistence_section import occasion_of, say_when

pytestmark = pytest.mark.django_db
EARLY = datetime.date(2024, 12, 10)


def test_of_fewer_than_five_answers_no_curve_is_drawn_and_the_section_says_why():
    assert how_long(occasion_of(programme(answers=4))).paragraphs == (FEW_ANSWERED,)


def test_of_fewer_than_five_followed_no_curve_of_days_is_drawn_and_the_section_says_why():
    """Two of eight quit, in months 4 and 5; the six others were last heard of in month 3."""
    jurisdiction = say_when(programme(answers=8))
    Answer.objects.filter(composting="yes").update(in_force_from_day=EARLY.toordinal())

    section = how_long(occasion_of(jurisdiction))

    assert FEW_FOLLOWED in section.paragraphs
    assert [chart.key for chart in section.charts] == ["retention"]


def test_a_filing_made_by_an_earlier_version_keeps_its_curves():
    jurisdiction = say_when(programme())
    inputs = occasion_of(jurisdiction).inputs
    third = replace(inputs.period, settings=replace(inputs.period.settings, version=3))

    before = computing.compute(replace(inputs, period=third)).persistence

    assert before == persistence(inputs.period.quits, inputs.following, version=3)


def test_every_sentence_about_curves_and_findings_has_its_spanish():
    said = [FEW_ANSWERED, FEW_FOLLOWED, *how_long(occasion_of(say_when(programme()))).paragraphs]
    for facts in ({"prior_counted_as_new": 2}, {"household_weeks_funded_twice": 12}):
        (one,) = findings(make_facts(**facts))
        said += [one.headline, one.what_to_do]

    with override("es"):
        kept = [one for text in said for one in SENTENCE_ENDS.split(text) if worded(one) == one]

    assert kept == []
