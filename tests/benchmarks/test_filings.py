"""Gathering, PDF and workbook against what their parts cost bare. Ratios are printed; nothing passes on time.

The limits asserted are twice those aimed at, so that a busy machine does not fail, but a lost order of
magnitude does.
"""

import datetime
import io
import time
import tracemalloc

import pytest
from django.db import connection
from openpyxl import Workbook
from reportlab.platypus import BaseDocTemplate

from diversion.inputs import Quarter
from outreach.filings import gather_sql, gathering, periods
from outreach.filings.documents import pdf
from outreach.filings.documents.workbook import write_workbook
from outreach.filings.gathering import Scope
from outreach.filings.report import Column, Number, Section, Table
from tests.benchmarks.households import a_million_households
from tests.filings.test_report import make_report

QUARTER = Quarter(year=2025, quarter=2)
CUT_OFF = datetime.date(2025, 8, 14)
pytestmark = pytest.mark.benchmark

# The grouping that any such query must do: five keys, and the sums of two quantities; no gaps, no shares, no
# units, no half answers.
BARE = """
WITH exposed AS (SELECT counted_under_id h, MIN(from_day) f, MIN(family) family,
  SUM({least}(until_day, %(b)s) - {greatest}(from_day + 14, %(a)s)) days
  FROM bins_stay WHERE from_day + 14 < %(b)s AND until_day > %(a)s AND until_day > from_day + 14 GROUP BY 1)
SELECT hh.jurisdiction_id, hh.district_id, family,
  CASE WHEN %(a)s - f <= 183 THEN 0 WHEN %(a)s - f <= 365 THEN 1 WHEN %(a)s - f <= 730 THEN 2 ELSE 3 END,
  hh.composting_before,
  COUNT(*), SUM(days), SUM(days * days), COUNT(x.food_ml_per_week),
  SUM(days * (x.food_ml_per_week / 100)), SUM(days * (x.yard_ml_per_week / 100)),
  SUM(days * days * (x.food_ml_per_week / 100)), SUM(days * days * (x.yard_ml_per_week / 100)),
  SUM(days * days * (x.food_ml_per_week / 100) * (x.food_ml_per_week / 100)),
  SUM(days * days * (x.yard_ml_per_week / 100) * (x.yard_ml_per_week / 100)),
  SUM(days * days * (x.food_ml_per_week / 100) * (x.yard_ml_per_week / 100))
FROM exposed JOIN households_household hh ON hh.id = h
LEFT JOIN followup_answer x ON x.counted_under_id = h AND x.in_force_from_day < %(cut)s
  AND x.in_force_until_day >= %(cut)s AND x.in_force_from_day >= %(oldest)s
GROUP BY 1, 2, 3, 4, 5"""


def seconds(action, repetitions=3):
    best = float("inf")
    for _ in range(repetitions):
        start = time.perf_counter()
        action()
        best = min(best, time.perf_counter() - start)
    return best


@pytest.mark.django_db
def test_gathering_a_million_households(capsys):
    a_million_households()
    scope = Scope(jurisdiction=None)
    values = gathering.parameters(periods.whole(QUARTER), scope=scope, cut_off=CUT_OFF)

    def bare():
        with connection.cursor() as cursor:
            cursor.execute(BARE.format(**gather_sql.DIALECTS[connection.vendor]), values)
            cursor.fetchall()

    tracemalloc.start()
    cells = gathering.gather_quarter(QUARTER, scope=scope, cut_off=CUT_OFF)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    floor, ours = (
        seconds(bare),
        seconds(lambda: gathering.gather_quarter(QUARTER, scope=scope, cut_off=CUT_OFF)),
    )

    with capsys.disabled():
        print(
            f"\ngather, {connection.vendor}, {sum(c.households for c in cells.exposure):,} households, "
            f"{sum(c.answers for c in cells.answers):,} answers, {len(cells.answers):,} cells: "
            f"{ours:.2f} s / {floor:.2f} s = {ours / floor:.2f} (aim 1.3); Python {peak / 1e6:.1f} MB"
        )
    assert ours / floor < 2.6
    assert peak < 50e6


def wide_report(rows):
    columns = tuple(Column(heading=f"Column {n}", is_number=n > 4) for n in range(15))
    body = tuple(
        tuple(
            f"word {r} {c}" if c < 5 else Number(value=r * c + 0.5, printed=f"{r * c}.50") for c in range(15)
        )
        for r in range(rows)
    )
    table = Table(key="activity", caption="Rows", columns=columns, rows=body)
    return make_report(sections=(Section(key="activity", heading="Rows", tables=(table,)),))


def test_a_workbook_of_100_000_rows(capsys):
    report = wide_report(100_000)
    rows = [[cell if isinstance(cell, str) else cell.value for cell in row] for row in report.tables[0].rows]

    def bare():
        book = Workbook(write_only=True)
        sheet = book.create_sheet()
        for row in rows:
            sheet.append(row)
        book.save(io.BytesIO())

    floor, ours = seconds(bare, 2), seconds(lambda: write_workbook(report, io.BytesIO()), 2)

    with capsys.disabled():
        print(f"\nworkbook, 100,000 x 15: {ours:.1f} s / {floor:.1f} s = {ours / floor:.2f} (aim 1.15)")
    assert ours / floor < 2.3


def test_a_pdf_of_thirty_pages(capsys):
    report = wide_report(1_300)
    write = lambda: pdf.write_pdf(report, io.BytesIO())  # noqa: E731
    ours = seconds(write, 3)

    def bare():
        flowables = list(pdf._story(report, pdf.PLAIN_EDITION))
        start = time.perf_counter()
        document = BaseDocTemplate(
            io.BytesIO(),
            pageTemplates=[
                pdf._template(pdf.UPRIGHT, pdf.letter, report),
                pdf._template(pdf.LYING, pdf.landscape(pdf.letter), report),
            ],
        )
        document.build(flowables)
        return time.perf_counter() - start, document.page

    floor, pages = min(bare() for _ in range(3))

    with capsys.disabled():
        print(f"\npdf, {pages} pages: {ours:.2f} s / {floor:.2f} s = {ours / floor:.2f} (aim 1.5)")
    assert ours / floor < 3


def test_workbook_memory_does_not_grow_with_the_rows(capsys):
    def peak(rows):
        report = wide_report(rows)
        tracemalloc.start()
        with open("/dev/null", "wb") as target:
            write_workbook(report, target)
        found = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
        return found

    small, large = peak(500), peak(10_000)

    with capsys.disabled():
        print(f"\nworkbook memory: {small / 1e6:.1f} MB at 500 rows, {large / 1e6:.1f} MB at 10,000")
    assert large < small + 4e6
