"""A small programme whose filing was worked out on paper, from rows to the printed page.

Quillby handed a mesh bin to 24 households on 7 September 2024; 16 answered on 16 May 2025. In quarter
2025-Q2 every household has its bin for all 91 days, T = 13 weeks, so there is one stratum (Quillby, mesh,
6 to 12 months), N = 24, n = 16. The answers are dated at the middle of the quarter: no ageing, and the month
asked about lies in the same quarter: no season.

Of every four answers three compost: 2.0, 2.5 and 3.0 L of food and 10 L of yard trimmings a week; one has
stopped. Food went to trash before (s = 1), yard half to trash, half to a green cart. Densities 0.327 and
0.1483 kg/L. kg per household and week:
    food  R = (2.0 + 2.5 + 3.0 + 0) / 4 x 0.327   = 0.613125
    yard  R = (10 + 10 + 10 + 0) / 4 x 0.1483     = 1.11225
If the silent are alike, kg = 24 x 13 x R:     food 191.295,  yard 347.022
What answerers alone account for, 16 x 13 x R: food 127.530,  yard 231.348
Still composting p = 0.75; the silent at odds 1/2: 1/(0.75 + 2 x 0.25) = 0.8; at 1/4: 1/1.75 = 0.571429
    odds 1/2: food 127.530 + 63.765 x 0.8 = 178.542, yard 231.348 + 115.674 x 0.8 = 323.8872
Went into bins (filed):       178.542 + 323.8872                      = 502.4292 kg
Would have gone to landfill:  178.542 + 161.9436                      = 340.4856 kg
    alike:                    191.295 + 173.511                       = 364.806 kg
    odds 1/4:                 163.9671 + 148.7237                     = 312.6908 kg
Composted before:             161.9436 kg; everyone is new, so additional = landfill-bound.

Interval of the landfill-bound total. Per answer, kg a week: 0.327 f + 0.5 x 0.1483 x 10 = 1.3955, 1.5590,
1.7225, 0; R = 1.16925; squared differences 0.051189 + 0.151905 + 0.306086 + 1.367146 = 1.876325 for each four,
7.505301 in all. v = 16/15 x 7.505301/16^2 = 0.0312721; V = (24 x 13)^2 x (1 - 16/48) x v = 2029.43;
se 45.0492 = 12.3488 % of 364.806. d = 15, t_.95 = 1.75305 (table): exp(1.75305 x 0.123488) = 1.241697.
    90 %: 364.806 / 1.241697 = 293.796 to 364.806 x 1.241697 = 452.978 kg
    range to say aloud: 312.6908 / 1.241697 = 251.826 to 452.978 kg

Methane of its lifetime, 19.0324 kg/t food and 20.4613 kg/t garden (between dry and wet, typical collection:
published with the method): 0.178542 x 19.0324 + 0.1619436 x 20.4613 = 3.398083 + 3.313577 = 6.711660 kg.
Composting itself: (502.4292 - 161.9436) kg x 0.17352 = 0.0590811 t CO2e (4 x 27.0 + 0.24 x 273 = 173.52 kg/t).
Net: 6.711660 x 27.0 / 1000 - 0.0590811 = 0.1221337 t CO2e.
"""

import datetime
import io

import openpyxl
import pytest
from pypdf import PdfReader

from diversion.inputs import Quarter
from outreach.filings import composing, periods
from outreach.filings.documents.pdf import write_pdf
from outreach.filings.documents.workbook import write_workbook
from outreach.filings.gathering import Scope
from tests.filings.programmes import programme

pytestmark = pytest.mark.django_db


@pytest.fixture
def report():
    occasion = composing.compose(
        periods.calendar_quarter(Quarter(year=2025, quarter=2)),
        scope=Scope(jurisdiction=programme(households=24, answers=16)),
        cut_off=datetime.date(2025, 8, 14),
        choices={},
    )
    return composing.report_of(occasion)


def figure(report, name, stream="both"):
    figures = report.account["period"]["figures"]
    return next(one for one in figures if (one["name"], one["stream"]) == (name, stream))


@pytest.mark.parametrize(
    ("name", "stream", "filed", "alike", "nothing"),
    [
        ("gross", "food", 0.178542, 0.191295, 0.127530),
        ("gross", "yard", 0.3238872, 0.347022, 0.231348),
        ("gross", "both", 0.5024292, 0.538317, 0.358878),
        ("landfill_bound", "both", 0.3404856, 0.364806, 0.243204),
        ("additional", "both", 0.3404856, 0.364806, 0.243204),
        ("composted_before", "both", 0.1619436, 0.173511, 0.115674),
    ],
)
def test_the_tonnes_are_those_on_paper(report, name, stream, filed, alike, nothing):
    found = figure(report, name, stream)

    assert found["headline"]["value"] == pytest.approx(filed, rel=1e-9)
    assert found["alike"]["value"] == pytest.approx(alike, rel=1e-9)
    assert found["nothing"] == pytest.approx(nothing, rel=1e-9)


def test_the_interval_is_the_one_on_paper(report):
    found = figure(report, "landfill_bound")

    assert found["alike"]["degrees_of_freedom"] == pytest.approx(15)
    assert found["alike"]["lower"] == pytest.approx(0.293796, rel=1e-5)
    assert found["alike"]["upper"] == pytest.approx(0.452978, rel=1e-5)
    assert found["said_lower"] == pytest.approx(0.251826, rel=1e-5)
    assert found["said_upper"] == pytest.approx(0.452978, rel=1e-5)


def test_methane_and_net_are_those_on_paper(report):
    assert figure(report, "methane_lifetime")["headline"]["value"] == pytest.approx(6.711660, rel=1e-5)
    assert figure(report, "net")["headline"]["value"] == pytest.approx(0.1221337, rel=1e-4)


def test_the_paragraph_prints_them(report):
    assert (
        "an estimated 0.34 tonnes of food scraps and yard trimmings stayed out of landfill; depending on what "
        "those who did not answer are doing, the true figure lies between 0.25 and 0.45. If they are like those "
        "who answered, it is 0.36, with a 90 % interval of 0.29 to 0.45. 16 households of 24 asked (67\u00a0%)"
    ) in report.summary
    assert [line.number.printed for line in report.headlines] == ["0.34", "6.71", "0.12"]


def test_pdf_and_workbook_print_them_too(report):
    pdf, book = io.BytesIO(), io.BytesIO()
    write_pdf(report, pdf)
    write_workbook(report, book)

    text = " ".join(page.extract_text() for page in PdfReader(pdf).pages).replace("\n", " ")
    rows = list(openpyxl.load_workbook(book)["Tonnes"].iter_rows(min_row=4, values_only=True))

    assert "an estimated 0.34 tonnes" in text
    assert "0.25 to 0.45" in text
    bound = next(row for row in rows if row[:2] == ("Would have gone to landfill", "together"))
    assert bound[2] == pytest.approx(0.3404856, rel=1e-9)
