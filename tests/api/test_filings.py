"""The reading API: the same rights as the pages, the same figures as the filing."""

import pytest

from outreach.filings.models import Filing
from outreach.staff.roles import READERS, Role
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("role", Role)
def test_readers_read_and_others_do_not(as_role, role):
    assert as_role(role).get("/api/filings/").status_code == (200 if role in READERS else 403)


def test_nobody_reads_without_signing_in(client):
    assert client.get("/api/filings/").status_code in {302, 403}


def test_the_report_is_the_one_that_was_filed(as_role):
    filing = submit(programme(households=6, answers=0))

    (listed,) = as_role(Role.AUDITOR).get("/api/filings/").json()
    whole = as_role(Role.AUDITOR).get(listed["report_url"]).json()

    assert listed["period"] == "2025-Q2"
    assert "report" not in listed
    assert whole["report"] == Filing.objects.get(pk=filing.pk).report


def test_it_only_reads(as_role):
    assert as_role(Role.ADMINISTRATOR).post("/api/filings/", {}).status_code == 405


def test_the_filters_are_those_of_the_page(as_role):
    submit(programme(households=1, answers=0))
    client = as_role(Role.COORDINATOR)

    assert len(client.get("/api/filings/", {"period": "2025"}).json()) == 1
    assert client.get("/api/filings/", {"period": "2024"}).json() == []
