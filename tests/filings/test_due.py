"""Which reports are due and when, on each jurisdiction's own clock and by grants, and what is missing before each."""

import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from outreach.bins.models import StockMovement, StockPlace
from outreach.filings import due, periods, submitting
from outreach.filings.gathering import Scope
from outreach.filings.models import FilingDraft
from tests.factories.bins import make_bin_model, make_stock_place
from tests.factories.followup import make_answer
from tests.factories.funding import make_funding_source, make_grant_period
from tests.factories.households import make_household
from tests.factories.places import make_jurisdiction
from tests.factories.staff import make_member
from tests.factories.workshops import make_workshop
from tests.filings.programmes import programme

ON = datetime.date(2025, 8, 20)
AT = datetime.datetime(2025, 8, 20, 12, tzinfo=datetime.UTC)
WAITING = {
    "answered_on": datetime.date(2025, 6, 1),
    "review_reason": "the amount is not clear",
    "in_force_from_day": 0,
    "in_force_until_day": 0,
}
pytestmark = [pytest.mark.django_db]


def due_of(name, on=ON):
    return next(one for one in due.filings_due(on) if one.of == name)


@pytest.mark.parametrize(
    ("month", "code", "due_on"),
    [
        (7, "2025-Q2", datetime.date(2025, 7, 30)),
        (1, "2025-Q2", datetime.date(2025, 7, 30)),
        (2, "FY2026-Q2", datetime.date(2025, 8, 30)),
        (3, "FY2026-Q1", datetime.date(2025, 6, 30)),
    ],
)
def test_a_quarter_is_due_so_many_days_after_it_by_the_clock_of_the_place(month, code, due_on):
    make_jurisdiction(name="Quillby", fiscal_year_starts_month=month, report_due_days=30)

    one = due_of("Quillby")

    assert (one.period.code, one.due_on, one.is_filed) == (code, due_on, False)
    assert one.is_late == (due_on < ON)
    assert f"period={code}" in one.url


def test_a_filing_of_its_days_is_what_was_due_also_one_of_all_places():
    quillby = programme()
    act = submitting.Act(by=make_member(), at=AT, cut_off=ON)
    period = periods.calendar_quarter(periods.read_quarter("2025-Q2"))
    filing = submitting.submit(period=period, scope=Scope(jurisdiction=None), choices={}, act=act)

    one = due_of(quillby.name)

    assert (one.filing, one.missing, one.url) == (filing, (), filing.get_absolute_url())


def test_the_period_of_a_grant_is_due_on_its_own_day():
    place = make_jurisdiction(name="Quillby")
    source = make_funding_source(name="Compost fund")
    source.may_serve.add(place)
    days = (datetime.date(2025, 2, 15), datetime.date(2025, 8, 14))
    make_grant_period(
        source=source, first_day_on=days[0], last_day_on=days[1], report_due_on=datetime.date(2025, 9, 1)
    )
    make_grant_period(
        source=make_funding_source(name="Far off"),
        first_day_on=days[0],
        last_day_on=datetime.date(2026, 2, 14),
        report_due_on=datetime.date(2026, 4, 1),
    )

    one = due_of("Compost fund")

    assert (one.period.first_day, one.period.last_day) == days
    assert (one.due_on, one.jurisdiction) == (datetime.date(2025, 9, 1), place)
    assert "Far off" not in {other.of for other in due.filings_due(ON)}


def test_what_is_missing_before_each_is_said():
    place, elsewhere = make_jurisdiction(name="Quillby"), make_jurisdiction(name="Oldham Flats")
    make_workshop(jurisdiction=place, held_on=datetime.date(2025, 5, 9), state="held")
    make_workshop(jurisdiction=place, held_on=datetime.date(2025, 5, 16), state="closed")
    household = make_household(jurisdiction=place)
    make_answer(household=household, **WAITING)
    _move_a_bin(datetime.date(2025, 4, 7))
    FilingDraft.objects.create(
        jurisdiction=place, period="2025-Q2", findings_open=2, begun_at=AT, begun_by=make_member()
    )

    here, there = due_of("Quillby").missing, due_of("Oldham Flats").missing

    assert [one.words for one in here] == [
        "1 workshop is not closed",
        "the stock was not counted",
        "1 answer to look at",
        "2 findings in the draft to mend or answer",
    ]
    assert [one.words for one in there] == ["the stock was not counted"]
    assert elsewhere.pk


def _move_a_bin(on):
    StockMovement.objects.create(
        bin_model=make_bin_model(),
        quantity=3,
        from_place=StockPlace.objects.get(kind="suppliers"),
        to_place=make_stock_place(),
        why="received",
        moved_on=on,
        entered_at=AT,
    )


def test_more_places_take_no_more_queries(django_assert_max_num_queries):
    for number in range(12):
        make_jurisdiction(name=f"Place {number}")

    with django_assert_max_num_queries(9):
        assert len(due.filings_due(ON)) >= 12


def test_opening_a_draft_counts_what_is_left_to_answer_and_season_shows_it(as_coordinator, coordinator):
    place = programme(jurisdiction=make_jurisdiction(name="Quillby"))
    last = due.last_full_quarter(timezone.localdate(), starts_month=7)
    make_workshop(jurisdiction=place, held_on=last.first_day, state="held")
    draft = FilingDraft.objects.create(
        jurisdiction=place, period=last.code, begun_at=timezone.now(), begun_by=coordinator
    )

    as_coordinator.get(draft.get_absolute_url())
    page = as_coordinator.get(reverse("season")).content.decode()

    draft.refresh_from_db()
    assert draft.findings_open >= 1
    assert "Reports and when they are due" in page
    assert "1 workshop is not closed" in page
    assert "in the draft to mend or answer" in page


def test_the_form_begins_with_what_season_asked_for(as_coordinator):
    place = programme()
    chosen = {"jurisdiction": place.pk, "period": "2025-02-15/2026-02-14"}

    page = as_coordinator.get(reverse("filing_begin"), chosen).content.decode()

    assert 'value="2025-02-15"' in page
    assert '<option value="days" selected>' in page


def test_any_days_can_be_chosen_on_the_form(as_coordinator):
    place = programme()
    posted = {
        "jurisdiction": place.pk,
        "period": "days",
        "first_day": "2025-02-15",
        "last_day": "2025-08-14",
        "odds": "2",
        "report": "AR6",
        "horizon": "100",
    }

    made = as_coordinator.post(reverse("filing_begin"), posted)
    refused = as_coordinator.post(reverse("filing_begin"), posted | {"last_day": "2025-01-01"})

    assert made.url == FilingDraft.objects.get(period="2025-02-15/2025-08-14").get_absolute_url()
    assert "Swap the two?" in refused.content.decode()
