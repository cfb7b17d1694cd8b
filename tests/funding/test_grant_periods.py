"""The periods about which a source wants reports: their rules, and the pages on which they are kept."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse

from outreach.funding.models import GrantPeriod
from outreach.staff.models import Role
from tests.factories.funding import make_funding_source, make_grant_period

FIRST, LAST, DUE = datetime.date(2025, 2, 15), datetime.date(2026, 2, 14), datetime.date(2026, 4, 15)
pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"last_day_on": datetime.date(2025, 2, 14)}, "ends after it begins"),
        ({"report_due_on": LAST}, "due after the last day"),
    ],
)
@pytest.mark.postgres
def test_the_database_keeps_its_days_in_order(differences, sentence):
    days = {"first_day_on": FIRST, "last_day_on": LAST, "report_due_on": DUE} | differences
    wrong = GrantPeriod(source=make_funding_source(), **days)

    with pytest.raises(ValidationError, match=sentence):
        wrong.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        wrong.save()


@pytest.mark.postgres
def test_a_source_has_a_period_once():
    known = make_grant_period()
    again = GrantPeriod(
        source=known.source,
        first_day_on=known.first_day_on,
        last_day_on=known.last_day_on,
        report_due_on=known.report_due_on,
    )

    with pytest.raises(ValidationError, match="already has this period"):
        again.full_clean()
    with pytest.raises(IntegrityError), transaction.atomic():
        again.save()


@pytest.mark.parametrize(
    ("first", "last", "sentence"),
    [
        (datetime.date(2023, 12, 1), LAST, "does not pay yet"),
        (FIRST, datetime.date(2026, 7, 1), "no longer pays"),
    ],
)
def test_it_lies_within_the_days_on_which_the_source_pays(first, last, sentence):
    source = make_funding_source(ends_on=datetime.date(2026, 6, 30))

    with pytest.raises(ValidationError, match=sentence):
        GrantPeriod(
            source=source, first_day_on=first, last_day_on=last, report_due_on=datetime.date(2026, 9, 1)
        ).full_clean()


def test_periods_are_added_corrected_and_removed_on_the_page_of_the_source(as_coordinator):
    source = make_funding_source()
    posted = {"first_day_on": FIRST, "last_day_on": LAST, "report_due_on": DUE}

    as_coordinator.post(reverse("grant_period_add", args=[source.pk]), posted)
    made = GrantPeriod.objects.get()
    page = as_coordinator.get(reverse("funding_budget", args=[source.pk])).content.decode()
    later = posted | {"report_due_on": datetime.date(2026, 5, 1)}
    as_coordinator.post(reverse("grant_period", args=[made.pk]), later)
    made.refresh_from_db()

    assert "15 April 2026" in page
    assert made.report_due_on == datetime.date(2026, 5, 1)
    as_coordinator.post(reverse("grant_period_remove", args=[made.pk]))
    assert not GrantPeriod.objects.exists()


def test_a_wrong_order_is_said_on_the_form(as_coordinator):
    source = make_funding_source()
    posted = {"first_day_on": LAST, "last_day_on": FIRST, "report_due_on": DUE}

    answer = as_coordinator.post(reverse("grant_period_add", args=[source.pk]), posted)

    assert answer.status_code == 422
    assert "Swap the two days?" in answer.content.decode()


def test_an_auditor_reads_them_and_changes_none(as_role):
    known = make_grant_period()
    client = as_role(Role.AUDITOR)

    page = client.get(reverse("funding_budget", args=[known.source_id])).content.decode()

    assert "Periods to report about" in page
    assert "Remove" not in page
    assert client.post(reverse("grant_period_remove", args=[known.pk])).status_code == 403
