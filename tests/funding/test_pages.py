"""The pages of funding: who may see what, what a form does, and tables that attack no spreadsheet."""

import csv
import io

import pytest
from django.urls import reverse

from outreach.funding.models import BudgetLine, Cost, Hours
from outreach.staff.roles import OFFICE, READERS, Role
from tests.factories.funding import make_cost, make_funding_source, make_hour_rate, make_hours, make_line

pytestmark = pytest.mark.django_db
VOLUNTEER = "Ottoline Brackwater"


def text_of(answer):
    return answer.content.decode()


def rows_of(answer):
    return list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))


@pytest.fixture
def recorded():
    """A source with a line, a cost and hours of someone named."""
    source = make_funding_source(name="Spring grant", amount_cents=500_000)
    line = make_line(source=source)
    cost = make_cost((line, 5000), what_for="Flyers for spring", note=f"{VOLUNTEER} fetched them")
    hours = make_hours((source, 180), volunteer=VOLUNTEER)
    return source, cost, hours


def addresses(source, cost, hours):
    plain = ("funding_sources", "costs", "hours", "hour_rates", "costs_csv", "hours_csv")
    yield from (reverse(name) for name in plain)
    yield reverse("funding_budget", args=[source.pk])
    yield reverse("cost", args=[cost.pk])
    yield reverse("hours_given", args=[hours.pk])


@pytest.mark.parametrize("role", Role)
def test_readers_read_and_only_the_office_learns_who_gave_the_hours(as_role, role, recorded):
    client = as_role(role)

    answers = [client.get(address) for address in addresses(*recorded)]

    assert {answer.status_code for answer in answers} == {200 if role in READERS else 403}
    assert any(VOLUNTEER in text_of(answer) for answer in answers) == (role in OFFICE)


def test_a_cost_is_added_and_shared_where_one_share_is_left_open(as_coordinator):
    first, second = make_line(), make_line()
    form = {
        "spent_on": "2025-05-09",
        "amount_cents": "100.00",
        "what_for": "Flyers",
        "paid_by_1": first.pk,
        "paid_by_2": second.pk,
        "share_2": "33.33",
    }

    as_coordinator.post(reverse("cost_add"), form)

    shares = Cost.objects.get().shares.order_by("pk")
    assert [(share.budget_line, share.cents) for share in shares] == [(first, 6667), (second, 3333)]


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"share_1": "99.99"}, "fall short by $0.01"),
        ({"paid_by_1": ""}, "filled in"),
        ({"share_2": "5"}, "Say whose share this is"),
        ({"spent_on": "2999-01-01"}, "still to come"),
        ({"amount_cents": "0"}, "at least one cent"),
    ],
)
def test_a_cost_in_disorder_is_refused_in_words_and_nothing_is_written(as_coordinator, differences, sentence):
    form = {
        "spent_on": "2025-05-09",
        "amount_cents": "100.00",
        "what_for": "Flyers",
        "paid_by_1": make_line().pk,
    }

    answer = as_coordinator.post(reverse("cost_add"), form | differences)

    assert answer.status_code == 422
    assert sentence in text_of(answer)
    assert not Cost.objects.exists()


def test_a_cost_is_corrected_and_voided(as_coordinator, recorded):
    _source, cost, _hours = recorded
    line = cost.shares.get().budget_line
    form = {
        "spent_on": "2025-05-09",
        "amount_cents": "70.00",
        "what_for": "Flyers",
        "paid_by_1": line.pk,
        "reason": "The invoice says so",
    }

    as_coordinator.post(reverse("cost_edit", args=[cost.pk]), form)
    as_coordinator.post(reverse("cost_void", args=[cost.pk]), {"reason": "Entered twice"})

    cost.refresh_from_db()
    assert (cost.amount_cents, cost.shares.get().cents) == (7000, 7000)
    assert cost.voided_at is not None
    assert as_coordinator.get(reverse("cost_edit", args=[cost.pk])).status_code == 404


@pytest.mark.parametrize(
    ("typed", "minutes"), [("2:30", 150), ("2.5", 150), ("2,5", 150), ("3", 180), ("0:01", 1), ("1.33", 80)]
)
def test_hours_are_read_as_people_write_them(as_coordinator, typed, minutes):
    make_hour_rate()
    source = make_funding_source()
    form = {"given_on": "2025-05-09", "minutes": typed, "doing": "event", "paid_by_1": source.pk}

    as_coordinator.post(reverse("hours_add"), form)

    assert Hours.objects.get().minutes == minutes
    assert Hours.objects.get().shares.get().minutes == minutes


@pytest.mark.parametrize("typed", ["2:60", "two", "-1", "25:00", "0"])
def test_what_are_no_hours_of_a_day_is_refused(as_coordinator, typed):
    make_hour_rate()

    answer = as_coordinator.post(
        reverse("hours_add"), {"given_on": "2025-05-09", "minutes": typed, "doing": "event"}
    )

    assert answer.status_code == 422
    assert not Hours.objects.exists()


def test_hours_wait_for_a_rate(as_coordinator):
    answer = as_coordinator.post(
        reverse("hours_add"), {"given_on": "2025-05-09", "minutes": "2", "doing": "event"}
    )

    assert "No rate holds on 9 May 2025" in text_of(answer)


def test_a_line_is_added_within_the_amount_of_its_source(as_coordinator):
    source = make_funding_source(amount_cents=100_000)
    url = reverse("budget_line_add", args=[source.pk])

    refused = as_coordinator.post(url, {"kind": "venue", "amount_cents": "1000.01"})
    as_coordinator.post(url, {"kind": "venue", "amount_cents": "1000.00"})

    assert refused.status_code == 422
    assert BudgetLine.objects.get().amount_cents == 100_000


@pytest.mark.parametrize("words", ["=1+1", "+1", "-1", "@sum", "\t=1"])
def test_no_cell_of_a_table_starts_a_formula(as_coordinator, words):
    make_cost(what_for=words)

    heading, row = rows_of(as_coordinator.get(reverse("costs_csv")))

    assert row[heading.index("what_for")] == f"'{words}"


def test_a_table_has_a_line_for_each_share_and_they_add_up(as_coordinator):
    make_cost((make_line(), 3333), (make_line(), 6667))

    heading, *rows = rows_of(as_coordinator.get(reverse("costs_csv")))

    assert [row[heading.index("share_dollars")] for row in rows] == ["33.33", "66.67"]
    assert {row[heading.index("amount_dollars")] for row in rows} == {"100.00"}


def test_days_in_the_wrong_order_are_said(as_coordinator, recorded):
    url = reverse("funding_budget", args=[recorded[0].pk])

    answer = as_coordinator.get(url, {"first_day": "2025-06-01", "last_day": "2025-05-01"})

    assert "The last day comes before the first" in text_of(answer)
