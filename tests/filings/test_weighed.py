"""Weigh-ins and site checks in a filing: gathered, frozen, said, verified, and followed by every document."""

import datetime
import io

import openpyxl
import pytest
from pypdf import PdfReader

from diversion.inputs import Quarter
from outreach.filings import composing, gathering, periods, submitting, verifying
from outreach.filings.documents.live.book import write_live_workbook
from outreach.filings.documents.pdf import write_pdf
from outreach.filings.documents.wording import SENTENCE_ENDS, in_language
from outreach.filings.documents.workbook import write_workbook
from outreach.filings.pack.members import members
from outreach.filings.report import Report, digest
from outreach.filings.submitting import Act, RecordsMoved, submit
from outreach.followup.models import WeighedWeek
from tests.factories.followup import (
    make_answer,
    make_site_check,
    make_site_check_list,
    make_weigh_in,
    make_weigh_in_season,
    make_weighed_week,
)
from tests.factories.households import make_household
from tests.filings.programmes import programme
from tests.filings.spreadsheet import sheets_as_text, spreadsheet  # noqa: F401

pytestmark = pytest.mark.django_db
QUARTER = Quarter(year=2025, quarter=2)
AT = datetime.datetime(2025, 8, 20, 9, tzinfo=datetime.UTC)
# Weeks from 2 June on: the first ends on the 8th.
BEGUN = datetime.date(2025, 6, 2)
PUBLISHED_FOOD = 0.327


CUT_OFF = AT.date()


def filed(cut_off=CUT_OFF):
    return submit(
        period=periods.calendar_quarter(QUARTER),
        scope=gathering.Scope(jurisdiction=None),
        choices={},
        act=Act(by=None, at=AT, cut_off=cut_off),
    )


def weigh(homes, *, drawn=False, reported_ml=10_000, weighed_g=4_000, begun=BEGUN):
    """So many homes that each weigh a week of food at 0.4 kg a litre."""
    season = make_weigh_in_season(from_on=begun, seed=3 if drawn else None)
    for place in range(1, homes + 1):
        home = make_weigh_in(season=season, draw_place=place if drawn else None)
        make_weighed_week(weigh_in=home, reported_ml=reported_ml * place, weighed_g=weighed_g * place)
    return season


def said(filing):
    return {section["key"]: section for section in filing.report["sections"]}


def tonnes(filing, name, stream):
    figures = filing.report["account"]["period"]["figures"]
    return next(one["headline"]["value"] for one in figures if (one["name"], one["stream"]) == (name, stream))


def test_twenty_homes_take_the_place_of_the_published_density():
    """Food is all reported in litres here, so its tonnes move as the density does: by 0.4 / 0.327."""
    programme()
    before = filed()
    weigh(20)
    after = submit(
        period=periods.calendar_quarter(QUARTER),
        scope=gathering.Scope(jurisdiction=None),
        choices={},
        act=Act(by=None, at=AT, cut_off=AT.date(), restates=before, reasons="Homes weighed"),
    )

    ratio = tonnes(after, "gross", "food") / tonnes(before, "gross", "food")
    assert ratio == pytest.approx(0.4 / PUBLISHED_FOOD, rel=1e-9)
    assert tonnes(after, "gross", "yard") == tonnes(before, "gross", "yard")
    assert "weigh_ins" not in said(before)
    told = " ".join(said(after)["weigh_ins"]["paragraphs"])
    assert "Food scraps: weighed by 20 homes instead of the published density." in told
    assert "They count as volunteers" in told
    assert "Yard trimmings: so far 0 of the 20 homes that a ratio needs" in told
    assert verifying.verify(before) == verifying.verify(after) == []


def test_drawn_homes_of_which_half_weighed_stand_for_everybody():
    programme()
    weigh(20, drawn=True)

    filing = filed()

    told = " ".join(said(filing)["weigh_ins"]["paragraphs"])
    assert "20 of 20 homes that were drawn at random weighed, so that they stand for everybody." in told
    assert "volunteers" not in told
    assert filing.inputs["period"]["food_weighed"]["are_volunteers"] is False
    assert filing.inputs["weighed"][0]["homes_drawn"] == 20


def test_nineteen_homes_are_said_and_change_nothing():
    programme()
    weigh(19)

    filing = filed()

    assert filing.inputs["period"]["food_weighed"] is None
    assert "so far 19 of the 20 homes that a ratio needs" in " ".join(said(filing)["weigh_ins"]["paragraphs"])
    assert verifying.verify(filing) == []


def test_weeks_after_the_cut_off_do_not_count():
    programme()
    weigh(20, begun=datetime.date(2025, 8, 10))

    assert filed(cut_off=datetime.date(2025, 8, 15)).inputs["period"]["food_weighed"] is None


def test_every_quarter_of_the_year_and_those_before_use_the_ratio():
    programme()
    weigh(20)

    filing = filed()

    assert filing.inputs["year_to_date"]["food_weighed"] == filing.inputs["period"]["food_weighed"]
    # Quillby's fiscal year starts in July.
    assert len(filing.inputs["year_to_date"]["quarters"]) == 4


def test_another_home_behind_the_ratio_is_found_out():
    programme()
    weigh(20)
    filing = filed()
    filing.inputs["weighed"][0]["homes"][0]["weighed_g"] += 100
    filing.inputs_sha256 = digest(filing.inputs)

    found = verifying.verify(filing)

    assert {one.where.split(",")[0] for one in found} == {"ratio of weigh-ins"}


def test_homes_that_are_typed_while_figures_are_computed_are_not_filed_half(monkeypatch):
    programme()
    weigh(20)
    composed = submitting.composing.compose

    def compose_then_type(*args, **kwargs):
        occasion = composed(*args, **kwargs)
        WeighedWeek.objects.update(weighed_g=5_000)
        return occasion

    monkeypatch.setattr(submitting.composing, "compose", compose_then_type)

    with pytest.raises(RecordsMoved):
        filed()


def test_the_finding_about_the_highest_weighed_hears_the_ratio():
    programme()
    assert "above-highest-weighed" not in found_now()

    weigh(20)
    WeighedWeek.objects.update(reported_ml=1_000, weighed_g=9_000)

    assert "above-highest-weighed" in found_now()


def found_now():
    occasion = composing.compose(
        periods.calendar_quarter(QUARTER),
        scope=gathering.Scope(jurisdiction=None),
        cut_off=CUT_OFF,
        choices={},
    )
    return {finding.code for finding in occasion.findings}


def visits():
    """Of 8 drawn: 4 say so and compost, 2 say so and do not, 1 said nothing and composts, 1 was not at home."""
    listed = make_site_check_list(drawn_on=datetime.date(2025, 5, 1))
    outcomes = (
        [("in_use", "yes")] * 4 + [("not_in_use", "yes")] * 2 + [("in_use", None), ("nobody_home", "yes")]
    )
    for place, (outcome, composting) in enumerate(outcomes, start=1):
        home = make_household()
        if composting:
            make_answer(household=home, composting=composting, answered_on=datetime.date(2025, 3, 1))
        day = datetime.date(2025, 6, 10)
        make_site_check(household=home, list=listed, place=place, outcome=outcome, checked_on=day)
    make_site_check(checked_on=datetime.date(2025, 6, 10))


def test_site_checks_stand_in_the_filing_and_are_verified():
    programme()
    visits()

    filing = filed()

    section = said(filing)["site_checks"]
    assert "8 households drawn at random were visited" in section["paragraphs"][0]
    assert "at 4 of 6 households, 67\N{NO-BREAK SPACE}%" in section["paragraphs"][1]
    assert "1 more site check outside a draw" in section["paragraphs"][2]
    assert verifying.verify(filing) == []
    filing.inputs["site_checks"]["rows"][0]["in_use"] = 5
    assert any("site_checks" in one.where for one in verifying.verify(filing))


def test_a_filing_from_before_there_were_any_is_verified_still():
    programme()
    filing = filed()
    for name in ("weighed", "site_checks"):
        del filing.inputs[name]
    filing.inputs_sha256 = digest(filing.inputs)
    del filing.report["account"]["site_checks"]
    filing.report_sha256 = digest(filing.report)

    assert verifying.verify(filing) == []


def test_page_pdf_and_workbook_say_both(as_coordinator):
    programme()
    weigh(20)
    visits()
    filing = filed()
    report = Report.from_dict(filing.report)

    pdf, book = io.BytesIO(), io.BytesIO()
    write_pdf(report, pdf)
    write_workbook(report, book)
    page = as_coordinator.get(filing.get_absolute_url()).content.decode()

    printed = " ".join(" ".join(one.extract_text() for one in PdfReader(pdf).pages).split())
    cells = {
        str(cell.value)
        for sheet in openpyxl.load_workbook(book)
        for row in sheet
        for cell in row
        if cell.value
    }
    for words in ("weighed by 20 homes instead of the published density", "at 4 of 6 households"):
        assert words in page
        assert words in printed
        assert any(words in cell for cell in cells)


def test_the_pack_holds_the_homes_and_says_that_litres_were_weighed():
    programme()
    weigh(20)

    pack = {one.name: one.content.decode() for one in members(filed()) if one.name.endswith(("csv", "txt"))}

    assert pack["weigh-ins.csv"].splitlines()[1] == "food,10000,4000,"
    assert len(pack["weigh-ins.csv"].splitlines()) == 21
    assert "x 0.400000 kg/L as weighed" in pack["one-household.txt"]
    assert "Equal" in pack["verification.txt"]


def test_the_restatement_says_how_much_weighing_moved_it():
    programme()
    before = filed()
    weigh(20)
    after = submit(
        period=periods.calendar_quarter(QUARTER),
        scope=gathering.Scope(jurisdiction=None),
        choices={},
        act=Act(by=None, at=AT, cut_off=CUT_OFF, restates=before, reasons="Homes weighed"),
    )

    (table,) = said(after)["changes"]["tables"]
    by_cause = dict(
        zip((one["heading"] for one in table["columns"][3:-1]), table["rows"][0][3:-1], strict=True)
    )
    moved = {cause: number["value"] for cause, number in by_cause.items() if number["value"]}
    assert list(moved) == ["Weigh-ins or density"]
    assert moved["Weigh-ins or density"] > 0


def test_a_spreadsheet_works_the_ratio_out_from_the_homes(spreadsheet, tmp_path):  # noqa: F811
    programme()
    weigh(20)
    filing = filed()
    path = tmp_path / "live.xlsx"
    with path.open("wb") as target:
        write_live_workbook(filing, target)

    sheets = sheets_as_text(spreadsheet, path)

    summary = {row[0]: row for row in sheets["Summary"] if len(row) > 4}
    rows = [row for row in summary.values() if row[3] not in ("", "As filed")]
    assert len(rows) >= 15
    for row in rows:
        assert float(row[2]) == pytest.approx(float(row[3]), rel=1e-9), row
    density = next(row for row in sheets["Factors"] if row[2:3] == ["food_density"])
    assert float(density[1]) == pytest.approx(0.4, rel=1e-12)
    assert "weighed by 20 volunteers of this programme instead of published density" in density[4]

    book = openpyxl.load_workbook(path)
    for row in range(3, book["Weigh-ins"].max_row + 1):
        book["Weigh-ins"].cell(row, 3).value *= 2
    changed = tmp_path / "changed.xlsx"
    book.save(changed)
    moved = {row[0]: row for row in sheets_as_text(spreadsheet, changed)["Summary"] if len(row) > 4}
    assert float(moved["Gross: food scraps"][2]) == pytest.approx(
        2 * float(summary["Gross: food scraps"][3]), rel=1e-9
    )


@pytest.mark.parametrize(("homes", "drawn"), [(20, True), (20, False), (19, False)])
def test_in_spanish_no_word_of_either_section_stays_english(homes, drawn):
    programme()
    weigh(homes, drawn=drawn)
    visits()
    report = Report.from_dict(filed().report)

    both = zip(report.sections, in_language(report, "es").sections, strict=True)

    kept = {
        text
        for english, spanish in both
        if english.key in ("weigh_ins", "site_checks")
        for text in _texts(english) & _texts(spanish)
    }
    assert kept == {"Material"}


def _texts(section):
    tables = [
        [
            table.caption,
            table.note,
            *(column.heading for column in table.columns),
            *(row[0] for row in table.rows),
        ]
        for table in section.tables
    ]
    sentences = [one for words in section.paragraphs for one in SENTENCE_ENDS.split(words)]
    return {section.heading, *sentences, *(text for table in tables for text in table if text)}
