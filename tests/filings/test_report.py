"""The report: frozen, the same after storage, and the one source of every document."""

import json

import pytest

from outreach.filings.report import (
    Bar,
    Chart,
    Column,
    Headline,
    Number,
    Report,
    Section,
    Table,
    UnknownFormat,
    as_text,
    digest,
)


def make_report(**differences) -> Report:
    table = Table(
        key="activity",
        caption="What was done",
        columns=(Column(heading="What"), Column(heading="Weight", unit="t", is_number=True)),
        rows=(("Workshops", Number(value=3, printed="3")), ("=1+1", Number(value=0.1 + 0.2, printed="0.30"))),
        total=("All", Number(value=3.3, printed="3.30")),
    )
    chart = Chart(
        key="kept",
        caption="Kept out",
        unit="t",
        bars=(
            Bar(label="2025-Q1", value=1.5, lower=1.0, upper=2.0, printed="1.50"),
            Bar(label="2025-Q2", value=0),
        ),
        alt="Bars",
    )
    fields = {
        "title": "Home composting in Town, 2025-Q2",
        "subtitle": "1 April to 30 June 2025",
        "summary": "Three workshops.",
        "headlines": (
            Headline(
                key="kept_out",
                number=Number(value=1.5, printed="1.50"),
                unit="t",
                interval="1.0 to 2.0",
                words="kept out of landfill",
            ),
        ),
        "sections": (Section(key="activity", heading="What was done", tables=(table,), charts=(chart,)),),
        "made_from": ("Factor set 2026-1.",),
        "account": {"period": {"estimated": True}},
    }
    return Report(**fields | differences)


def test_a_report_is_the_same_after_storage():
    report = make_report()

    assert Report.from_dict(json.loads(json.dumps(report.to_dict()))) == report


def test_a_report_of_another_format_is_refused_in_words():
    with pytest.raises(UnknownFormat, match="format 2; this version reads format 1"):
        Report.from_dict({**make_report().to_dict(), "format": 2})


def test_the_digest_moves_with_the_last_bit_of_a_number():
    assert digest({"value": 0.1 + 0.2}) != digest({"value": 0.3})
    assert digest({"a": 1, "b": 2}) == digest({"b": 2, "a": 1})


def test_nothing_that_is_no_number_is_frozen():
    with pytest.raises(ValueError, match="not JSON compliant"):
        as_text({"value": float("nan")})


def test_a_row_must_fit_its_columns():
    with pytest.raises(ValueError, match="has 1 cells for 2 columns"):
        Table(key="t", caption="", columns=(Column(heading="a"), Column(heading="b")), rows=(("only one",),))


def test_rows_are_labelled_for_narrow_screens():
    table = make_report().tables[0]
    first_row, second_row = table.labelled_rows

    assert first_row[0] == (table.columns[0], "What", "Workshops")
    assert second_row[1] == (table.columns[1], "Weight t", Number(value=0.1 + 0.2, printed="0.30"))
