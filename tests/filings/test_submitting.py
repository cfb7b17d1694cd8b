"""Submitting: frozen whole or not at all, never changed, and the same when computed again."""

import datetime
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import DatabaseError, connection, transaction

from diversion.inputs import Quarter
from outreach.filings import gathering, periods, submitting, verifying
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing, FilingDraft, FilingLine
from outreach.filings.report import Report
from tests.factories.followup import make_answer
from tests.factories.staff import make_member
from tests.filings.programmes import programme

QUARTER = Quarter(year=2025, quarter=2)
AT = datetime.datetime(2025, 8, 20, 12, tzinfo=datetime.UTC)
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


def submit(jurisdiction, **differences) -> Filing:
    act = submitting.Act(**{"by": make_member(), "at": AT, "cut_off": AT.date()} | differences)
    return submitting.submit(
        period=periods.calendar_quarter(QUARTER), scope=Scope(jurisdiction=jurisdiction), choices={}, act=act
    )


def test_a_filing_keeps_a_line_for_every_household_of_every_quarter_to_date():
    submit(programme(households=24))

    by_quarter = {
        q: FilingLine.objects.of_quarter(q).count() for q in ("2024-Q3", "2024-Q4", "2025-Q1", "2025-Q2")
    }

    assert by_quarter == {"2024-Q3": 24, "2024-Q4": 24, "2025-Q1": 24, "2025-Q2": 24}
    assert sorted(FilingLine.objects.of_quarter("2025-Q2").values_list("number", flat=True)) == list(
        range(1, 25)
    )


def test_computing_again_gives_the_filing():
    filing = submit(programme())

    assert verifying.verify(Filing.objects.get(pk=filing.pk)) == []


def test_late_answers_do_not_change_a_filing_and_it_still_verifies():
    jurisdiction = programme()
    filing = submit(jurisdiction)
    before = Filing.objects.get(pk=filing.pk).report

    household = _unanswered_household(jurisdiction)
    make_answer(household=household, answered_on=datetime.date(2025, 6, 1), food_ml_per_week=50_000)

    again = Filing.objects.get(pk=filing.pk)
    assert again.report == before
    assert verifying.verify(again) == []


def test_a_changed_figure_is_found_and_named():
    filing = submit(programme())
    filing.report["account"]["period"]["figures"][0]["headline"]["value"] *= 1.001

    found = verifying.verify(filing)

    assert [one.where for one in found] == ["digest of the report", "period.figures[0].headline.value"]


def test_a_quarter_is_filed_once():
    jurisdiction = programme()
    submit(jurisdiction)

    with pytest.raises(ValidationError, match="already filed"):
        submit(jurisdiction)


def test_a_restatement_gives_its_reasons_and_supersedes():
    jurisdiction = programme()
    first = submit(jurisdiction)

    with pytest.raises(ValidationError, match="gives its reasons"):
        submit(jurisdiction, restates=first)
    second = submit(jurisdiction, restates=first, reasons="Two answers came late.")

    assert Filing.objects.get(pk=first.pk).is_superseded
    assert list(Filing.objects.standing()) == [second]


def test_a_filing_is_restated_once_and_says_so_in_words():
    jurisdiction = programme(households=2, answers=0)
    first = submit(jurisdiction)
    submit(jurisdiction, restates=first, reasons="Two answers came late.")

    with pytest.raises(ValidationError, match="has already been restated"):
        submit(jurisdiction, restates=first, reasons="Once more.")


@pytest.mark.parametrize("day", ["2025-05-01", "2025-06-30"])
def test_a_quarter_that_has_not_ended_is_not_filed_whoever_asks(day):
    at = datetime.datetime.fromisoformat(f"{day}T12:00+00:00")

    with pytest.raises(ValidationError, match="2025-Q2 has not ended yet"):
        submit(programme(households=2, answers=0), at=at)

    assert not Filing.objects.exists()


def test_a_restatement_says_why_the_figure_moved_to_the_last_digit():
    jurisdiction = programme()
    first = submit(jurisdiction)
    make_answer(
        household=_unanswered_household(jurisdiction),
        answered_on=datetime.date(2025, 6, 1),
        food_ml_per_week=20_000,
        food_trash_percent=100,
        food_composted_percent=0,
    )
    second = submit(jurisdiction, restates=first, reasons="An answer was found in a drawer.")

    report = Report.from_dict(second.report)
    (table,) = (one for one in report.tables if one.key == "changes")

    for row in table.rows:
        before, *parts, now = (Decimal(cell.printed.replace("−", "-").replace(",", "")) for cell in row[2:])
        assert before + sum(parts) == now
    kept_out = next(row for row in table.rows if row[0] == "Kept out of landfill")
    assert kept_out[2].printed == "0.340"
    assert [column.heading for column in table.columns][3] == "More or fewer households"
    assert kept_out[3].value == 0
    assert verifying.verify(second) == []


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE filings_filing SET title = 'other'",
        "DELETE FROM filings_filing",
        "UPDATE filings_filingline SET days = 1",
        "DELETE FROM filings_filingline",
    ],
)
def test_the_database_itself_refuses_to_change_a_filing(statement):
    submit(programme(households=6, answers=2))

    with (
        pytest.raises(DatabaseError, match="never changed"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)


def test_saving_a_filing_again_is_refused():
    filing = submit(programme(households=6, answers=2))
    filing.title = "other"

    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic():
        filing.save()


def test_records_that_move_meanwhile_leave_nothing_filed(monkeypatch):
    jurisdiction = programme()
    gather = gathering.cells_from_lines

    def moved(filing, quarter, span=""):
        cells = gather(filing, quarter, span)
        return None if str(quarter) == "2025-Q2" else cells

    monkeypatch.setattr(gathering, "cells_from_lines", moved)

    with pytest.raises(submitting.RecordsMoved, match="nothing was filed"):
        submit(jurisdiction)
    assert not Filing.objects.exists()
    assert not FilingLine.objects.exists()


def test_no_answers_means_no_estimate_but_the_counts_stand():
    filing = submit(programme(answers=0))

    assert "no estimate" in filing.report["summary"]
    assert "1 April 2025 to 30 June 2025" in filing.report["summary"]
    response = next(s for s in filing.report["sections"] if s["key"] == "response")
    assert response["tables"][0]["rows"][-1][1] == {"value": 24, "printed": "24"}
    assert verifying.verify(filing) == []


def test_submitting_takes_the_draft_away():
    jurisdiction = programme()
    submitting.begin(
        jurisdiction=jurisdiction,
        period=periods.calendar_quarter(QUARTER),
        choices={},
        by=make_member(),
        at=AT,
    )

    submit(jurisdiction)

    assert not FilingDraft.objects.exists()


def test_beginning_twice_goes_on_with_the_one_draft():
    jurisdiction = programme(households=1, answers=0)
    for odds in (1, 4):
        submitting.begin(
            jurisdiction=jurisdiction,
            period=periods.calendar_quarter(QUARTER),
            choices={"odds": odds},
            by=make_member(),
            at=AT,
        )

    assert FilingDraft.objects.get().settings == {"odds": 4}


def test_the_command_files_and_writes_the_documents(tmp_path, capsys):
    programme()

    call_command("file_quarter", jurisdiction="quillby", quarter="2025-Q2", out=tmp_path / "documents")

    start = f"home-composting-in-quillby-2025-q2-{Filing.objects.get().pk}"
    assert {path.name for path in (tmp_path / "documents").iterdir()} == {
        f"{start}{ending}" for ending in ("-recomputing.xlsx", ".json", ".pdf", ".xlsx")
    }
    assert "Filed: Home composting in Quillby, 2025-Q2" in capsys.readouterr().out
    call_command("verify_filing", Filing.objects.get().pk)
    assert "Equal" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        ({"quarter": "spring"}, "such as 2025-Q2"),
        ({"quarter": "2999-Q1"}, "has not ended yet"),
        ({"jurisdiction": "Nowhere"}, "Known: Quillby"),
        ({"restate": "late answers"}, "nothing to restate"),
    ],
)
def test_the_command_says_what_is_wrong(options, sentence):
    programme(households=1, answers=0)

    with pytest.raises(CommandError, match=sentence):
        call_command("file_quarter", **{"jurisdiction": "Quillby", "quarter": "2025-Q2"} | options)
    assert not Filing.objects.exists()


def test_a_filing_that_is_not_there_cannot_be_verified():
    with pytest.raises(CommandError, match="no filing number 7"):
        call_command("verify_filing", 7)


def _unanswered_household(jurisdiction):
    from outreach.households.models import Household

    return Household.objects.filter(jurisdiction=jurisdiction).order_by("pk").last()
