"""The workbook that recomputes, as another program works it out: LibreOffice, from every answer to the headline.

The other side of each check is the account that the filing printed, or the library with the same change made.
"""

import datetime
import io
from dataclasses import replace

import numpy as np
import openpyxl
import pytest
from django.db.models import F
from django.urls import reverse

from diversion import account
from diversion.inputs import Quarter
from outreach.filings import jobs, periods
from outreach.filings.documents.live.book import NothingToRecompute, write_live_workbook
from outreach.filings.documents.live.frozen import Frozen
from outreach.filings.gathering import Scope
from outreach.filings.submitting import Act, submit
from outreach.followup.models import Answer
from outreach.staff import working
from outreach.staff.roles import Role
from tests.filings.invented_households import invent, record
from tests.filings.programmes import programme
from tests.filings.spreadsheet import sheets_as_text, spreadsheet  # noqa: F401

QUARTER = Quarter(year=2025, quarter=2)
AT = datetime.datetime(2025, 8, 20, 9, tzinfo=datetime.UTC)
UNITS_OF_TONNES = ("t", "kg CH4", "t CO2e")
NAMES = {"landfill_bound": "Kept out of landfill", "gross": "Gross", "composted_before": "Composted before"}


def filed(jurisdiction=None):
    return submit(
        period=periods.calendar_quarter(QUARTER),
        scope=Scope(jurisdiction=jurisdiction),
        choices={},
        act=Act(by=None, at=AT, cut_off=AT.date()),
    )


@pytest.fixture
def messy_filing(db):
    """Some amounts given by weight, some not given, some shares not given; two places, three families."""
    generator = np.random.default_rng(20251)
    record(invent(generator, size=500), generator)
    said = Answer.objects.exclude(composting="stopped")
    said.annotate(rest=F("pk") % 7).filter(rest=1).update(food_g_per_week=1530, food_ml_per_week=None)
    said.annotate(rest=F("pk") % 7).filter(rest=2).update(food_ml_per_week=None)
    said.annotate(rest=F("pk") % 11).filter(rest=3).update(yard_ml_per_week=None)
    said.annotate(rest=F("pk") % 3).filter(rest=0).update(browns_ml_per_week=F("pk") % 5 * 4_000)
    return filed()


def headlines(sheets):
    return {row[0]: row for row in sheets["Summary"] if len(row) > 4}


def live_book(filing, folder):
    path = folder / "live.xlsx"
    with path.open("wb") as target:
        write_live_workbook(filing, target)
    return path


def test_a_spreadsheet_works_out_every_headline_that_was_filed(messy_filing, spreadsheet, tmp_path):  # noqa: F811
    sheets = sheets_as_text(spreadsheet, live_book(messy_filing, tmp_path))

    rows = [row for row in headlines(sheets).values() if row[3] not in ("", "As filed")]
    assert len([row for row in rows if row[1] in UNITS_OF_TONNES]) == 15
    for row in rows:
        assert float(row[2]) == pytest.approx(float(row[3]), rel=1e-9), row
    net = account.compute(Frozen(messy_filing).inputs)
    assert "browns_counted" in {note.code for note in net.notes}
    figure = account.compute(Frozen(messy_filing).inputs).figure("landfill_bound")
    kept = headlines(sheets)["Kept out of landfill: both"]
    assert float(kept[3]) == pytest.approx(figure.headline.value, rel=1e-12)
    assert float(kept[5]) == pytest.approx(figure.alike.value, rel=1e-9)
    assert float(kept[6]) == pytest.approx(figure.nothing, rel=1e-9)


def test_a_changed_density_and_a_changed_answer_move_the_tonnes_as_the_library_does(
    messy_filing,
    spreadsheet,  # noqa: F811
    tmp_path,
):
    path = live_book(messy_filing, tmp_path)
    book = openpyxl.load_workbook(path)
    _cell_named(book, "food_density").value = 0.4
    number, added = _add_to_first_known_yard_amount(book["Answers"], litres=50)
    changed = tmp_path / "changed.xlsx"
    book.save(changed)

    sheets = sheets_as_text(spreadsheet, changed)

    expected = account.compute(_with_both_changes(messy_filing, number, added, density=0.4))
    for name, words in NAMES.items():
        found = float(headlines(sheets)[f"{words}: both"][2])
        assert found == pytest.approx(expected.figure(name).headline.value, rel=1e-9), name
        assert found != pytest.approx(float(headlines(sheets)[f"{words}: both"][3]), rel=1e-6)
    assert float(headlines(sheets)["Net warming avoided"][2]) == pytest.approx(
        expected.figure("net").headline.value, rel=1e-9
    )


def _cell_named(book, name):
    sheet, cell = next(iter(book.defined_names[name].destinations))
    return book[sheet][cell]


def _add_to_first_known_yard_amount(sheet, *, litres):
    """The number of the line, and how many decilitres it reports more."""
    columns = {cell.value: cell.column for cell in sheet[2]}
    for row in range(3, sheet.max_row + 1):
        by_heading = {heading: sheet.cell(row, column) for heading, column in columns.items()}
        is_known = (
            by_heading["Yard amount given (1 yes)"].value and by_heading["Still composting (1 yes)"].value
        )
        if is_known and by_heading["Yard trimmings a week, as reported"].value:
            by_heading["Yard trimmings a week, as reported"].value += litres
            return by_heading["Line (a random number)"].value, litres * 10
    raise LookupError("no answer gives an amount of yard trimmings")


def _with_both_changes(filing, number, added, *, density):
    inputs = Frozen(filing).inputs
    line = next(line for line in Frozen(filing).answers() if line.number == number)
    cells = inputs.quarters[0]
    (cell,) = [one for one in cells.answers if _is_cell_of(one, line)]
    days, before, after = line.days, line.yard, line.yard + added
    moved = replace(
        cell,
        days_yard=cell.days_yard + days * added,
        days_sq_yard=cell.days_sq_yard + days**2 * added,
        days_sq_yard_sq=cell.days_sq_yard_sq + days**2 * (after**2 - before**2),
        days_sq_food_yard=cell.days_sq_food_yard + days**2 * line.food * added,
    )
    answers = tuple(moved if one is cell else one for one in cells.answers)
    factors = inputs.factors
    denser = replace(
        factors,
        factors=tuple(
            replace(one, value=density, low=density, high=density) if one is factors.food_density else one
            for one in factors.factors
        ),
    )
    return replace(inputs, factors=denser, quarters=(replace(cells, answers=answers),))


def _is_cell_of(cell, line):
    key = line.key
    same_place = all(getattr(cell, name) == line.place[name] for name in line.place)
    percents = ("food_trash", "food_composted", "yard_trash", "yard_composted")
    return (
        same_place
        and (cell.gap_months, cell.quarter_asked) == (key["gap_months"], key["quarter_asked"])
        and (cell.prior, cell.still_composting) == (key["prior"], bool(key["still"]))
        and (cell.food_given, cell.yard_given) == (bool(key["food_given"]), bool(key["yard_given"]))
        and cell.browns_given == bool(key["browns_given"])
        and (cell.food_in == "weight", cell.yard_in == "weight")
        == (bool(key["food_by_weight"]), bool(key["yard_by_weight"]))
        and all(
            getattr(cell, f"{name}_percent") == (None if key[name] < 0 else key[name]) for name in percents
        )
    )


def test_nothing_in_it_names_a_person_or_an_address(messy_filing, tmp_path):
    book = openpyxl.load_workbook(live_book(messy_filing, tmp_path))

    headings = [cell.value for cell in book["Answers"][2]]
    assert not {"Name", "Address", "E-mail", "Phone"} & set(headings)
    assert book.sheetnames == [
        "Summary", "Factors", "Landfill", "Answers", "Usual values", "Strata", "Browns", "Tonnes",
        "Handouts", "Workshops", "Stock", "Costs", "Working", "Notes",
    ]  # fmt: skip


def test_a_small_one_comes_at_once_and_a_large_one_through_the_worker(
    as_role, monkeypatch, settings, tmp_path
):
    settings.MEDIA_ROOT = tmp_path
    filing, client = filed(programme()), as_role(Role.CITY_ANALYST)
    at_once = client.post(reverse("filing_live", args=[filing.pk]))
    monkeypatch.setattr(jobs, "FEW_ANSWERS", 3)

    too_early = client.get(reverse("filing_live_file", args=[filing.pk]))
    asked = client.post(reverse("filing_live", args=[filing.pk]))
    working.run_queued()
    made = client.get(reverse("filing_live_file", args=[filing.pk]))

    books = [openpyxl.load_workbook(io.BytesIO(b"".join(one.streaming_content))) for one in (at_once, made)]
    formulas = [[[cell.value for cell in row] for row in book["Answers"]] for book in books]
    assert formulas[0] == formulas[1]
    assert (too_early.status_code, asked.status_code) == (404, 302)


def test_a_filing_without_an_estimate_says_that_there_is_nothing_to_recompute(db, tmp_path):
    filing = filed(programme(households=6, answers=2))

    with pytest.raises(NothingToRecompute, match="no estimate of tonnes"):
        live_book(filing, tmp_path)
