"""The demo's help requests go through the same code as real ones, and Help is not empty."""

import datetime

import pytest
from django.urls import reverse

from outreach.coaching.models import Complaint, HelpRequest
from outreach.site.demo import asking
from tests.factories.households import make_household
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db
AT = datetime.datetime(2026, 11, 2, 18, tzinfo=datetime.UTC)


@pytest.fixture
def asked():
    for _ in range(8):
        make_household()
    asking.ask(by=make_member(), at=AT)


def test_requests_are_at_every_stage_in_both_languages(asked):
    states = set(HelpRequest.objects.values_list("state", flat=True))
    languages = set(HelpRequest.objects.values_list("language", flat=True))

    assert states == set(HelpRequest.State.values)
    assert languages == {"en", "es"}
    assert set(HelpRequest.objects.values_list("kind", flat=True)) == set(HelpRequest.Kind.values)


def test_one_complaint_waits_for_an_answer_and_one_has_it(asked):
    answered = Complaint.objects.values_list("reported_back_on", flat=True)

    assert sorted(day is None for day in answered) == [False, True]


def test_people_in_the_demo_are_nobody(asked):
    for request in HelpRequest.objects.exclude(phone=""):
        assert request.phone.startswith("555-01")
    for request in HelpRequest.objects.exclude(email=""):
        assert request.email.endswith("@example.org")


def test_help_shows_them(asked, as_coordinator):
    page = as_coordinator.get(reverse("help")).content.decode()

    assert "VC-0117" in page or "complaint" in page
    assert "neighbour" in page or "objection" in page
