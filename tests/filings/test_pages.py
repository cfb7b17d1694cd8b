"""Filings on screen, by role."""

import pytest
from django.urls import reverse

from outreach.filings.models import Filing, FilingDraft
from outreach.staff.roles import OFFICE, READERS, Role
from tests.filings.programmes import programme
from tests.filings.test_submitting import submit

pytestmark = pytest.mark.django_db


def begin(client, jurisdiction, quarter):
    return client.post(
        reverse("filing_begin"),
        {"jurisdiction": jurisdiction.pk, "period": quarter, "odds": "2", "report": "AR6", "horizon": "100"},
    )


def latest_offered(client):
    return client.get(reverse("filing_begin")).context["form"].fields["period"].choices[0][1][0][0]


@pytest.mark.parametrize("role", Role)
def test_each_role_meets_what_it_may(as_role, role):
    filing = submit(programme(households=2, answers=0))
    client = as_role(role)

    assert client.get(filing.get_absolute_url()).status_code == (200 if role in READERS else 403)
    assert client.get(reverse("filing_begin")).status_code == (200 if role in OFFICE else 403)


def test_from_choice_through_draft_to_filing(as_coordinator):
    jurisdiction = programme()
    quarter = latest_offered(as_coordinator)

    draft = begin(as_coordinator, jurisdiction, quarter)
    page = as_coordinator.get(draft.url)
    filed = as_coordinator.post(reverse("filing_submit", args=[FilingDraft.objects.get().pk]))

    assert "Draft, computed from today" in page.content.decode()
    assert filed.url == Filing.objects.get().get_absolute_url()
    assert not FilingDraft.objects.exists()


def test_filing_again_asks_for_reasons(as_coordinator):
    jurisdiction = programme(households=3, answers=0)
    quarter = latest_offered(as_coordinator)
    for _ in range(2):
        begin(as_coordinator, jurisdiction, quarter)
        submitted = reverse("filing_submit", args=[FilingDraft.objects.get().pk])
        answer = as_coordinator.post(submitted, follow=True)

    assert "Give the reasons" in answer.content.decode()
    assert Filing.objects.count() == 1

    as_coordinator.post(submitted, {"reasons": "Two sheets were found in a drawer."})

    assert Filing.objects.standing().get().restates == Filing.objects.exclude(restated_by=None).get()


def test_the_page_and_its_working_show_every_table_of_the_report(as_coordinator):
    filing = submit(programme())

    page = as_coordinator.get(filing.get_absolute_url()).content.decode()
    text = page + as_coordinator.get(reverse("filing_working", args=[filing.pk])).content.decode()

    for section in filing.report["sections"]:
        for table in section["tables"]:
            for row in table["rows"]:
                for cell in row:
                    if isinstance(cell, dict):
                        assert cell["printed"] in text


def test_the_working_leads_down_to_the_lines(as_role):
    filing = submit(programme())

    page = as_role(Role.AUDITOR).get(reverse("filing_working", args=[filing.pk]))

    assert len(page.context["page_obj"]) == 24
    assert "no answer in force" in page.content.decode()
    assert "2.5 L" in page.content.decode()


@pytest.mark.parametrize(
    ("name", "start"), [("filing_pdf", b"%PDF"), ("filing_workbook", b"PK"), ("filing_figures", b"{")]
)
def test_documents_download(as_role, name, start):
    filing = submit(programme())

    response = as_role(Role.CITY_ANALYST).get(reverse(name, args=[filing.pk]))

    body = b"".join(response.streaming_content) if response.streaming else response.content
    assert body.startswith(start)
    assert "attachment" in response["Content-Disposition"]


def test_discarding_a_draft_files_nothing(as_coordinator):
    begin(as_coordinator, programme(households=1, answers=0), latest_offered(as_coordinator))

    as_coordinator.post(reverse("filing_discard", args=[FilingDraft.objects.get().pk]))

    assert not FilingDraft.objects.exists()
    assert not Filing.objects.exists()


def test_the_list_costs_the_same_however_long(as_coordinator, django_assert_max_num_queries):
    submit(programme(households=1, answers=0))

    with django_assert_max_num_queries(12):
        as_coordinator.get(reverse("filings"))


def test_an_auditor_computes_a_filing_again(as_role):
    filing = submit(programme())

    page = as_role(Role.AUDITOR).get(reverse("filing_verify", args=[filing.pk]))

    assert page.context["differences"] == []
    assert "Equal" in page.content.decode()
