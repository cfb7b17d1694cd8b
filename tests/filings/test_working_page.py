"""Working: from each headline down to strata and lines, for each role as far as it may go."""

import pytest
from django.urls import reverse

from outreach.staff.roles import OFFICE, READERS, Role
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db


@pytest.fixture
def filing():
    return submit(programme())


def page_of(client, filing) -> str:
    return client.get(reverse("filing_working", args=[filing.pk])).content.decode()


@pytest.mark.parametrize("role", READERS)
def test_each_headline_leads_to_its_working_for_every_reader(as_role, role, filing):
    page = as_role(role).get(filing.get_absolute_url()).content.decode()

    assert len(filing.report["headlines"]) == page.count('class="unseen"> of ')
    assert reverse("filing_working", args=[filing.pk]) in page
    assert "Steps" in page_of(as_role(role), filing)


def test_numbers_are_printed_as_in_the_documents_and_never_as_the_code_has_them(as_role, filing):
    page = page_of(as_role(Role.AUDITOR), filing)

    assert "Number(" not in page
    working = next(
        table
        for section in filing.report["sections"]
        for table in section["tables"]
        if table["key"] == "working"
    )
    for row in working["rows"]:
        assert f'<th scope="row">{row[0]["printed"]}</th>' in page


def test_strata_and_lines_hold_every_household_of_the_quarter_once(as_role, filing):
    """24 households took a bin, in one stratum; 8 did not answer, 4 of the 16 that did had stopped."""
    response = as_role(Role.CITY_ANALYST).get(reverse("filing_working", args=[filing.pk]))

    strata = next(
        table
        for section in filing.report["sections"]
        for table in section["tables"]
        if table["key"] == "strata"
    )
    at = [column["heading"] for column in strata["columns"]].index("Households")
    lines = response.context["page_obj"]
    assert sum(row[at]["value"] for row in strata["rows"]) == 24
    assert lines.paginator.count == 24
    words = [line.words for line in lines]
    assert sum("no answer in force" in one for one in words) == 8
    assert sum("stopped" in one for one in words) == 4


@pytest.mark.parametrize("role", READERS)
def test_rows_go_to_every_reader_without_names_and_with_names_to_the_office_alone(as_role, role, filing):
    client = as_role(role)

    named = client.post(reverse("filing_named_rows", args=[filing.pk]))
    page = client.get(filing.get_absolute_url()).content.decode()

    assert (named.status_code == 403) is (role not in OFFICE)
    assert (reverse("filing_named_rows", args=[filing.pk]) in page) is (role in OFFICE)
    assert reverse("filing_rows", args=[filing.pk]) in page
