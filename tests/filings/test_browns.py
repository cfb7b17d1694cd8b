"""Browns that households told: from the answer through the lines of a filing to the net, and older filings without."""

import datetime

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.models import F

from diversion.inputs import Quarter
from outreach.filings import gathering, periods, submitting, verifying
from outreach.filings.gathering import Scope
from outreach.filings.models import FilingLine
from outreach.followup.models import Answer
from outreach.staff import guard
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db

QUARTER = Quarter(year=2025, quarter=2)
AT = datetime.datetime(2025, 8, 20, 9, tzinfo=datetime.UTC)
LITRES, WEEKS, DENSITY = 10, 13, 0.07  # of browns a week; of the quarter; kg/L, of the factor set


def filed(jurisdiction):
    return submitting.submit(
        period=periods.calendar_quarter(QUARTER),
        scope=Scope(jurisdiction=jurisdiction),
        choices={"odds": 1},
        act=submitting.Act(by=None, at=AT, cut_off=AT.date()),
    )


def told(litres: int) -> None:
    Answer.objects.exclude(composting="stopped").update(browns_ml_per_week=litres * 1000)


def headline(filing, name: str) -> float:
    figures = filing.report["account"]["period"]["figures"]
    return next(one for one in figures if (one["name"], one["stream"]) == (name, "both"))["headline"]["value"]


def codes(filing) -> set[str]:
    return {note["code"] for note in filing.report["account"]["period"]["notes"]}


def test_browns_give_off_what_composting_does_and_lower_the_net_by_it():
    """By hand: 24 households of 13 weeks, 12 of 16 answers still compost, 10 L a week at 0.07 kg/L are 1.638 t;
    a tonne gives off 4 kg of methane at 27 and 0.24 kg of nitrous oxide at 273: 173.52 kg CO2e."""
    jurisdiction = programme()
    without = filed(jurisdiction)
    told(LITRES)

    with_them = submitting.submit(
        period=periods.calendar_quarter(QUARTER),
        scope=Scope(jurisdiction=jurisdiction),
        choices={"odds": 1},
        act=submitting.Act(
            by=None, at=AT, cut_off=AT.date(), restates=without, reasons="Browns were typed in."
        ),
    )

    tonnes = 24 * WEEKS * 12 / 16 * LITRES * DENSITY / 1000
    more = tonnes * 173.52 / 1000
    assert headline(with_them, "process") - headline(without, "process") == pytest.approx(more, rel=1e-9)
    assert headline(without, "net") - headline(with_them, "net") == pytest.approx(more, rel=1e-9)
    assert headline(with_them, "landfill_bound") == pytest.approx(
        headline(without, "landfill_bound"), rel=1e-12
    )
    assert "browns_counted" in codes(with_them)
    assert "browns_not_asked" in codes(without)
    assert verifying.verify(with_them) == []


def test_a_line_keeps_the_browns_and_a_changed_one_is_found():
    jurisdiction = programme()
    told(LITRES)
    filing = filed(jurisdiction)

    line = filing.lines.filter(browns=LITRES * 10).first()
    with guard.lifted():
        FilingLine.objects.filter(pk=line.pk).update(browns=F("browns") + 1)

    assert [found.where for found in verifying.verify(filing)] == ["lines of 2025-Q2"]


def test_none_told_is_not_nothing_told():
    jurisdiction = programme()
    told(0)

    filing = filed(jurisdiction)

    assert "browns_counted" in codes(filing)
    cells = gathering.cells_from_lines(filing, QUARTER).answers
    assert all(cell.browns_given and cell.days_browns == 0 for cell in cells)


def test_lines_of_an_early_version_give_the_cells_they_gave():
    """Such a filing's lines keep no browns, though their key says that some were given."""
    jurisdiction = programme()
    told(LITRES)
    filing = filed(jurisdiction)

    with guard.lifted():
        FilingLine.objects.update(browns=None)

    cells = gathering.cells_from_lines(filing, QUARTER).answers
    assert cells
    assert not any(cell.browns_given or cell.days_browns for cell in cells)


@pytest.mark.django_db(transaction=True)
def test_the_column_comes_and_goes_and_the_lines_stay_guarded():
    filed(programme())
    before = list(FilingLine.objects.values_list("number", "days", "food", "yard"))

    MigrationExecutor(connection).migrate([("filings", "0003_answer_findings_in_writing")])
    executor = MigrationExecutor(connection)
    executor.migrate(executor.loader.graph.leaf_nodes())
    guard.make_triggers(FilingLine._meta.app_config)

    assert list(FilingLine.objects.values_list("number", "days", "food", "yard")) == before
    assert set(FilingLine.objects.values_list("browns", flat=True)) == {None}
    assert guard.look(databases=["default"]) == []
