"""The report in Spanish: the same digits, other words; the council page and the PDFs in both languages and units."""

import io
import itertools
import re

import pytest
from django.urls import reverse
from django.utils import translation
from pypdf import PdfReader

from outreach.filings.documents.council import council_page, unit_of
from outreach.filings.documents.pdf import Edition, write_pdf
from outreach.filings.documents.wording import in_language, worded
from outreach.filings.masses import SHORT_TON, TONNE
from outreach.filings.report import Number, Report
from outreach.households.models import Household
from outreach.places.models import Jurisdiction
from outreach.staff.roles import READERS, Role
from tests.factories.places import make_district, make_jurisdiction
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db
DIGITS = re.compile(r"\d[\d,.]*\d|\d")


def pdf_of(report, language="en", address="") -> PdfReader:
    target = io.BytesIO()
    write_pdf(report, target, Edition(language=language, address=address))
    return PdfReader(target)


def spaced(text: str) -> str:
    return re.sub(r"\s+", " ", text)


def text_of(reader) -> str:
    return spaced(" ".join(page.extract_text() for page in reader.pages))


def texts(value):
    if isinstance(value, dict):
        return [text for key, one in value.items() if key != "account" for text in texts(one)]
    if isinstance(value, list):
        return [text for one in value for text in texts(one)]
    return [value] if isinstance(value, str) else []


@pytest.fixture
def frozen() -> Report:
    return Report.from_dict(submit(programme()).report)


@pytest.mark.parametrize("unit", [Jurisdiction.MassUnit.TONNE, Jurisdiction.MassUnit.SHORT_TON])
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_pdf_has_every_figure_of_the_json_in_either_language_and_unit(unit, language):
    filing = submit(programme(jurisdiction=make_jurisdiction(name="Quillby", mass_unit=unit)))
    report = in_language(Report.from_dict(filing.report), language)

    text = text_of(pdf_of(report, language))

    cells = [cell for table in report.tables for row in table.rows for cell in row]
    numbers = {cell.printed for cell in cells if isinstance(cell, Number)}
    missing = [one for one in numbers if spaced(one) not in text]
    assert missing == []
    assert all(one.number.printed in text and one.interval in text for one in report.headlines)


@pytest.mark.parametrize("districts", [0, 3, 40])
def test_the_pdf_holds_none_few_and_many_districts(districts):
    jurisdiction = programme(households=max(10 * districts, 24), answers=max(8 * districts, 16))
    names = [f"District {number}" for number in range(1, districts + 1)]
    households = iter(Household.objects.order_by("pk"))
    for name in names:
        district = make_district(jurisdiction=jurisdiction, name=name)
        for _ in range(10):
            Household.objects.filter(pk=next(households).pk).update(district=district)
    report = in_language(Report.from_dict(submit(jurisdiction).report), "es")

    text = text_of(pdf_of(report, "es"))

    (table,) = [one for one in report.tables if one.key == "by_district"]
    assert len(table.rows) == max(districts, 1)
    drawn = [one for one in report.charts if one.key == "by_district"]
    assert len(drawn) == (1 if districts == 3 else 0)
    assert all(f"Quillby/{name}" in text for name in names)
    cells = [cell.printed for row in table.rows for cell in row if isinstance(cell, Number)]
    assert [one for one in cells if spaced(one) not in text] == []


def test_in_spanish_every_text_keeps_its_digits(frozen):
    pairs = zip(texts(frozen.to_dict()), texts(in_language(frozen, "es").to_dict()), strict=True)

    changed = [(was, now) for was, now in pairs if DIGITS.findall(was) != DIGITS.findall(now)]

    assert changed == []


def test_in_spanish_no_number_moves(frozen):
    def values(report):
        return [
            cell.value
            for table in report.tables
            for row in table.rows
            for cell in row
            if isinstance(cell, Number)
        ]

    spanish = in_language(frozen, "es")

    assert values(spanish) == values(frozen)
    assert spanish.account == frozen.account


def test_headings_columns_and_captions_are_all_in_spanish(frozen):
    def words(report):
        for section in report.sections:
            yield section.heading
            for table in section.tables:
                yield table.caption
                yield from (column.heading for column in table.columns)

    same = {
        was for was, now in zip(words(frozen), words(in_language(frozen, "es")), strict=True) if was == now
    }

    # A quarter and a word that both languages share.
    assert {one for one in same if not re.fullmatch(r"\d{4}-Q\d", one)} <= {"Material", "Total"}


def test_the_summary_is_in_spanish_sentence_by_sentence(frozen):
    summary = in_language(frozen, "es").summary

    assert summary.startswith("Del 1 de abril de 2025 al 30 de junio de 2025, el programa en Quillby")
    assert "This is an estimate" not in summary
    assert "Among" not in summary


def test_in_the_language_it_was_filed_in_the_report_is_itself(frozen):
    assert in_language(frozen, "en") is frozen


@pytest.mark.parametrize(
    ("filed", "spanish"),
    [
        ("under 0.01", "menos de 0.01"),
        ("under 0.01 to 0.30", "menos de 0.01 a 0.30"),
        ("1 July 2026 to 30 September 2026", "1 de julio de 2026 a 30 de septiembre de 2026"),
        ("mesh 21, rigid 16", "malla 21, rígida 16"),
        ("They compost nothing 2.90 short tons", "No compostan nada 2.90 toneladas cortas"),
        ("Larkmoor/District 1", "Larkmoor/District 1"),
    ],
)
def test_numbers_days_and_lists_are_put_into_spanish(filed, spanish):
    with translation.override("es"):
        assert worded(filed) == spanish


def test_words_without_a_translation_stay_as_they_were_filed():
    with translation.override("es"):
        assert worded("Sentence that nobody wrote.") == "Sentence that nobody wrote."


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("unit", [TONNE, SHORT_TON])
def test_the_council_page_is_one_page_with_three_figures(frozen, language, unit):
    with translation.override(language):
        page = council_page(frozen, mass=unit)
    reader = pdf_of(page, language, "https://example.org/filings/1/council/")

    assert len(reader.pages) == 1
    assert len(page.headlines) == 3
    assert len(page.charts) == 1
    assert (
        page.subtitle
        == {"en": "1 April 2025 to 30 June 2025", "es": "1 de abril de 2025 a 30 de junio de 2025"}[language]
    )
    text = text_of(reader)
    assert all(spaced(one.number.printed) in text for one in page.headlines)
    assert ("tonnes" in text or "short tons" in text) == (language == "en")
    assert reader.trailer["/Root"]["/Lang"] == f"{language}-US"


def test_a_short_ton_of_the_council_page_is_2000_pounds(frozen):
    in_tonnes = council_page(frozen, mass=TONNE).headlines[0].number.value
    in_short_tons = council_page(frozen, mass=SHORT_TON).headlines[0].number.value

    # International pound: 0.45359237 kg exactly (NIST Handbook 44, appendix C).
    assert in_short_tons == pytest.approx(in_tonnes * 1000 / (2000 * 0.45359237), rel=1e-12)


def test_the_council_page_says_the_tonnes_of_the_filing(frozen):
    kept = council_page(frozen, mass=unit_of(frozen)).headlines[0]

    assert (kept.number, kept.interval) == (frozen.headlines[0].number, frozen.headlines[0].interval)


def test_without_an_estimate_the_council_page_still_says_what_is_known():
    report = Report.from_dict(submit(programme(households=3, answers=0)).report)

    page = council_page(report, mass=TONNE)

    assert [one.key for one in page.headlines] == ["households", "response"]
    assert any("no estimate" in words for section in page.sections for words in section.paragraphs)
    assert len(pdf_of(page).pages) == 1


def test_the_pdf_links_to_its_page_and_claims_no_tags(frozen):
    reader = pdf_of(frozen, address="https://example.org/filings/7/report/?language=en")

    links = [
        note.get_object()["/A"]["/URI"]
        for page in reader.pages
        for note in page.get("/Annots", [])
        if "/URI" in note.get_object()["/A"]
    ]
    assert links == ["https://example.org/filings/7/report/?language=en"]
    assert "/MarkInfo" not in reader.trailer["/Root"]
    assert "/StructTreeRoot" not in reader.trailer["/Root"]


@pytest.mark.parametrize("role", Role)
@pytest.mark.parametrize(
    "name", ["filing_report", "filing_council", "filing_report_pdf", "filing_council_pdf"]
)
def test_papers_are_for_readers(as_role, role, name):
    filing = submit(programme(households=2, answers=0))

    answer = as_role(role).get(reverse(name, args=[filing.pk]), {"language": "es"})

    assert answer.status_code == (200 if role in READERS else 403)


def test_the_page_names_its_language_and_its_parts_stand_in_order(as_role):
    filing = submit(programme())

    page = (
        as_role(Role.CITY_ANALYST)
        .get(reverse("filing_report", args=[filing.pk]), {"language": "es"})
        .content.decode()
    )

    assert '<html lang="es">' in page
    assert "Lo que se hizo" in page
    assert '<div lang="en">' not in page
    assert all('scope="' in one for one in re.findall(r"<th\b[^>]*>", page))
    assert page.count("<h1") == 1
    levels = [int(one) for one in re.findall(r"<h([1-6])", page)]
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    assert page.count("<table") == page.count("<caption")
    assert all('aria-label="' in one for one in re.findall(r"<svg[^>]*role=\"img\"[^>]*>", page))
