"""Filings of every clock from invented records: what they count, keep, go on from, and that they verify."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.db import IntegrityError, transaction

from diversion.inputs import Quarter
from outreach.filings import composing, computing, gathering, period_codes, periods, submitting, verifying
from outreach.filings.documents.live.book import NothingToRecompute, write_live_workbook
from outreach.filings.earlier import EarlierFilings
from outreach.filings.gathering import Scope
from outreach.filings.models import Filing, FilingDraft, FilingLine
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop
from tests.filings.programmes import programme

AT = datetime.datetime(2026, 5, 20, 12, tzinfo=datetime.UTC)
CUT_OFF = AT.date()
pytestmark = [pytest.mark.django_db, pytest.mark.postgres]


@pytest.fixture
def place():
    """Its fiscal year starts in February, inside a calendar quarter."""
    return programme(jurisdiction=make_jurisdiction(name="Quillby", fiscal_year_starts_month=2))


def submit(place, code, **differences):
    scope = Scope(jurisdiction=place)
    act = submitting.Act(**{"by": make_member(), "at": AT, "cut_off": CUT_OFF} | differences)
    period = computing.read_period(code, scope=scope)
    return submitting.submit(period=period, scope=scope, choices={}, act=act)


def days_of(filing):
    return sum(cell["days"] for one in filing.inputs["period"]["quarters"] for cell in one["exposure"])


@pytest.mark.parametrize(
    ("code", "slices"),
    [
        ("2025-Q2", [("2025-Q2", "")]),
        ("FY2026-Q2", [("2025-Q2", "2025-05-01/2025-06-30"), ("2025-Q3", "2025-07-01/2025-07-31")]),
        ("FY2026", [("2025-Q1", "2025-02-01/2025-03-31"), ("2025-Q2", ""), ("2025-Q3", ""), ("2025-Q4", ""),
                    ("2026-Q1", "2026-01-01/2026-01-31")]),
        ("2025", [("2025-Q1", ""), ("2025-Q2", ""), ("2025-Q3", ""), ("2025-Q4", "")]),
        ("2025-05-16/2025-06-14", [("2025-Q2", "2025-05-16/2025-06-14")]),
    ],
)  # fmt: skip
def test_a_filing_counts_the_days_of_its_period_and_verifies(place, code, slices):
    filing = submit(place, code)

    kept = filing.period_lines.order_by("quarter", "span").values_list("quarter", "span").distinct()
    assert list(kept) == slices
    length = (filing.last_day_on - filing.first_day_on).days + 1
    assert days_of(filing) == 24 * length
    assert sum(filing.period_lines.values_list("days", flat=True)) == 24 * length
    assert verifying.verify(Filing.objects.get(pk=filing.pk)) == []


def test_two_slices_of_one_quarter_in_one_filing_are_kept_apart(place):
    """The year to date holds all of the second quarter, the fiscal quarter from May on."""
    filing = submit(place, "FY2026-Q2")

    lines = FilingLine.objects.of_quarter("2025-Q2")

    assert set(lines.values_list("span", "days")) == {("", 91), ("2025-05-01/2025-06-30", 61)}
    assert filing.inputs["year_to_date"]["quarters"][0]["span"] == "2025-02-01/2025-03-31"


def test_fiscal_quarters_add_up_to_the_days_of_their_year_and_each_workshop_is_in_one(place):
    for day in ("2025-02-01", "2025-04-30", "2025-05-01", "2025-11-01", "2026-01-31"):
        make_workshop(held_on=datetime.date.fromisoformat(day), state="closed", jurisdiction=place)

    quarters = [submit(place, f"FY2026-Q{number}") for number in (1, 2, 3, 4)]
    year = submit(place, "FY2026")

    assert sum(map(days_of, quarters)) == days_of(year)
    assert [held(one) for one in quarters] == [2, 1, 0, 2]
    assert held(year) == 5


def held(filing):
    activity = next(t for s in filing.report["sections"] for t in s["tables"] if t["key"] == "activity")
    return activity["rows"][0][1]["value"]


def test_every_filing_shows_its_period_beside_the_year_to_date_and_says_why_they_do_not_add_up(place):
    filing = submit(place, "2025-02-15/2026-02-14")

    done = next(s for s in filing.report["sections"] if s["key"] == "activity")

    headings = [column["heading"] for column in done["tables"][0]["columns"]]
    assert headings == ["What", "2025-02-15/2026-02-14", "Fiscal year to date, from 1 February 2026"]
    assert "do not add up to the year" in done["paragraphs"][0]
    assert filing.title == "Home composting in Quillby, 15 February 2025 to 14 February 2026"


def test_the_same_days_are_filed_once_whatever_they_are_called(place):
    submit(place, "2025-Q2")

    with pytest.raises(ValidationError, match="already filed"):
        submit(place, "2025-04-01/2025-06-30")


def test_the_database_holds_that_a_period_is_first_filed_once(place):
    filing = submit(place, "FY2026-Q2")
    filing.pk = None

    with pytest.raises(IntegrityError), transaction.atomic():
        filing.save(force_insert=True)


def test_a_period_is_not_filed_before_it_has_ended(place):
    with pytest.raises(ValidationError, match=r"has not ended yet\. File it after 31 December 2026"):
        submit(place, "2026")


def bound(tonnes):
    return sum(one.landfill_bound_tonnes for one in tonnes)


def filed(filing):
    return sum(one["tonnes"] for one in filing.report["account"]["period"]["landfill_bound"])


def test_a_quarter_and_its_year_both_filed_are_no_tonnes_twice():
    place = programme(jurisdiction=make_jurisdiction(name="Quillby", fiscal_year_starts_month=4))
    submit(place, "2025-Q2")
    year = submit(place, "FY2026", at=AT + datetime.timedelta(days=1))

    found = [EarlierFilings(Scope(jurisdiction=place)).tonnes(one) for one in year.filed_period.slices]

    assert [uncovered for _tonnes, uncovered in found] == [{}, {}, {}, {}]
    assert sum(bound(tonnes) for tonnes, _ in found) == pytest.approx(filed(year), rel=1e-12)
    assert filed(year) > 0


def test_filed_slices_stand_and_only_the_days_between_are_computed(place):
    """Asked for a whole quarter of which a fiscal quarter has filed the days from May on."""
    fiscal = submit(place, "FY2026-Q2")

    tonnes, uncovered = EarlierFilings(Scope(jurisdiction=place)).tonnes(
        periods.whole(Quarter(year=2025, quarter=2))
    )

    (april,) = uncovered
    assert (april.span, uncovered[april]) == ("2025-04-01/2025-04-30", {"Quillby"})
    assert {one.span for one in tonnes} == {"2025-05-01/2025-06-30"}
    part = [
        one for one in fiscal.report["account"]["period"]["landfill_bound"] if one["quarter"] == "2025-Q2"
    ]
    assert bound(tonnes) == sum(one["tonnes"] for one in part) > 0


def test_days_before_a_period_of_the_same_quarter_are_earlier_ones(place):
    """The first quarter has no answers yet, and so no tonnes."""
    scope = Scope(jurisdiction=place)
    period = period_codes.read("FY2026-Q2", starts_month=2)

    occasion = composing.compose(period, scope=scope, cut_off=CUT_OFF, choices={})

    earlier = occasion.inputs.period.earlier
    assert {(str(one.quarter), one.span) for one in earlier if one.quarter.year == 2025} == {
        ("2025-Q2", "2025-04-01/2025-04-30"),
    }


def test_tonnes_of_a_slice_are_those_of_its_days(place):
    """Nothing changes from day to day here but exposure, so tonnes go with the days."""
    scope = Scope(jurisdiction=place)
    whole = gathering.gather_quarter(Quarter(year=2025, quarter=2), scope=scope, cut_off=CUT_OFF)
    june = periods.of_days(datetime.date(2025, 6, 1), datetime.date(2025, 6, 30)).slices[0]
    part = gathering.gather_slice(june, scope=scope, cut_off=CUT_OFF)

    assert sum(one.days for one in part.exposure) * 91 == sum(one.days for one in whole.exposure) * 30
    assert sum(one.answers for one in part.answers) == sum(one.answers for one in whole.answers)


def test_the_workbook_of_formulas_is_of_one_quarter(place, tmp_path):
    year = submit(place, "FY2026-Q2")

    assert year.is_estimated
    assert not year.is_recomputed_in_a_workbook
    with (
        (tmp_path / "none.xlsx").open("wb") as target,
        pytest.raises(NothingToRecompute, match="of one quarter"),
    ):
        write_live_workbook(year, target)


def test_the_command_files_any_period(place, capsys, tmp_path):
    call_command("file_quarter", jurisdiction="quillby", period="2025-02-15/2026-02-14", out=tmp_path)

    assert "15 February 2025 to 14 February 2026" in capsys.readouterr().out
    assert {one.suffix for one in tmp_path.iterdir()} == {".pdf", ".xlsx", ".json"}
    with pytest.raises(CommandError, match="is not a period"):
        call_command("file_quarter", jurisdiction="quillby", period="last winter")


def test_a_draft_keeps_to_a_code(place):
    with pytest.raises(IntegrityError), transaction.atomic():
        FilingDraft.objects.create(jurisdiction=place, period="winter", begun_at=AT, begun_by=make_member())
    with pytest.raises(ValidationError, match="Write a period as"):
        FilingDraft(jurisdiction=place, period="winter", begun_at=AT, begun_by=make_member()).full_clean()


@pytest.mark.parametrize("everywhere", [True, False])
def test_a_draft_and_a_filing_of_a_period_are_one(place, everywhere):
    scope = None if everywhere else place
    made = {"jurisdiction": scope, "period": "2025-Q2", "begun_at": AT, "begun_by": make_member()}
    FilingDraft.objects.create(**made)
    filing = submit(scope, "2025-Q2")
    filing.pk = None

    if not everywhere:
        FilingDraft.objects.create(**made)
        with pytest.raises(ValidationError, match="draft for this period is already open"):
            FilingDraft(**made).full_clean()
    with pytest.raises(ValidationError, match="already filed"):
        filing.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        filing.save(force_insert=True)
