"""Grants and budgets: their rules and their pages."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.urls import reverse

from outreach.funding.models import FundingSource
from outreach.staff.roles import OFFICE, Role
from tests.factories.funding import make_funding_source

pytestmark = pytest.mark.django_db
DAY = datetime.date(2025, 3, 1)


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"ends_on": DAY - datetime.timedelta(days=1)}, "cannot end before it starts"),
        ({"name": ""}, "Give the funding source a name"),
    ],
)
def test_what_cannot_be_is_refused_by_the_database(differences, sentence):
    source = FundingSource(**({"name": "Organics grant", "starts_on": DAY} | differences))

    with pytest.raises(ValidationError, match=sentence):
        source.validate_constraints()
    with pytest.raises(IntegrityError), transaction.atomic():
        source.save()


def test_which_sources_pay_on_a_day():
    open_ended = make_funding_source(starts_on=DAY)
    until = make_funding_source(starts_on=DAY, ends_on=DAY + datetime.timedelta(days=9))

    running = FundingSource.objects.running

    assert set(running(DAY + datetime.timedelta(days=9))) == {open_ended, until}
    assert set(running(DAY + datetime.timedelta(days=10))) == {open_ended}
    assert not running(DAY - datetime.timedelta(days=1)).exists()


@pytest.mark.parametrize("role", Role)
def test_the_office_adds_and_corrects_them(as_role, role):
    client = as_role(role)
    form = {"name": "Organics grant", "starts_on": "2025-01-01", "amount_cents": "12500.50"}

    added = client.post(reverse("funding_source_add"), form)

    if role not in OFFICE:
        assert added.status_code == 403
        return
    source = FundingSource.objects.get()
    assert source.amount_cents == 1_250_050
    assert "12,500.50" in client.get(reverse("funding_sources")).content.decode()
    client.post(reverse("funding_source", args=[source.pk]), form | {"ends_on": "2024-12-31"})
    assert FundingSource.objects.get().ends_on is None
