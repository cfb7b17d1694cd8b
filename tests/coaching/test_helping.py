"""A help request from the day it comes until it is closed."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from outreach.coaching import helping
from outreach.coaching.helping import Act, Asked, FromAuthority, Seen
from outreach.coaching.models import Complaint, HelpRequest, HelpStep, Visit
from outreach.households import merging
from tests.factories.coaching import make_complaint, make_help_request
from tests.factories.households import make_household, make_participant
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db

AT = datetime.datetime(2025, 6, 10, 18, tzinfo=datetime.UTC)
ON = datetime.date(2025, 6, 10)


@pytest.fixture
def act():
    return Act(by=make_member(), at=AT)


def test_a_request_counts_under_its_household_and_its_jurisdiction(act):
    household = make_household()

    made = helping.open_request(
        asked=Asked(came_by="phone", household=household, symptoms=("ants", "dry", "ants")), act=act
    )

    assert (made.counted_under, made.jurisdiction) == (household, household.jurisdiction)
    assert [one.symptom for one in made.symptoms.all()] == ["ants", "dry"]
    assert (made.state, made.due_on) == ("open", datetime.date(2025, 6, 15))


def test_the_same_answer_opens_one_request(act):
    asked = Asked(came_by="answer", household=make_household(), made_from="answer 7")

    first, second = (helping.open_request(asked=asked, act=act) for _ in range(2))

    assert first.pk == second.pk
    assert HelpRequest.objects.count() == 1


def test_a_person_of_another_household_is_refused(act):
    asked = Asked(came_by="phone", household=make_household(), participant=make_participant())

    with pytest.raises(ValidationError, match="a person of this household"):
        helping.open_request(asked=asked, act=act)


def test_an_unknown_symptom_keeps_nothing(act):
    with pytest.raises(ValidationError):
        helping.open_request(
            asked=Asked(came_by="phone", household=make_household(), symptoms=("gnomes",)), act=act
        )

    assert not HelpRequest.objects.exists()


def test_a_request_from_the_public_page_gets_its_household_later(act):
    made = helping.open_request(asked=Asked(came_by="public_page", phone="555-0107"), act=Act(by=None, at=AT))
    household = make_household()

    helping.name_household(request=made, household=household)

    assert list(HelpRequest.objects.counted_for(household)) == [made]
    assert not HelpRequest.objects.to_link().exists()


def test_advice_and_a_visit_move_it_on_and_closing_wants_an_outcome(act):
    made = make_help_request()

    helping.record_step(request=made, kind="not_reached", on=ON, words="", act=act)
    made.refresh_from_db()
    assert made.state == "open"
    helping.record_step(request=made, kind="advice_said", on=ON, words="Add leaves.", act=act)
    made.refresh_from_db()
    assert (made.state, made.advised_on) == ("advised", ON)
    helping.record_visit(request=made, seen=Seen(visited_on=ON, visited_by="Odile", seen="wet"), act=act)
    helping.record_step(request=made, kind="advice_sent", on=ON, words="", act=act)
    made.refresh_from_db()
    assert made.state == "visited"

    with pytest.raises(ValidationError, match="what came of it"):
        helping.close(request=made, outcome="", note="", act=act)
    closed = helping.close(request=made, outcome="solved", note="", act=act)

    assert (closed.state, closed.closed_by) == ("closed", act.by)


@pytest.mark.parametrize("what", ["step", "visit", "close"])
def test_nothing_is_done_about_a_closed_request(act, what):
    made = make_help_request(state="closed")
    acts = {
        "step": lambda: helping.record_step(request=made, kind="call", on=ON, words="", act=act),
        "visit": lambda: helping.record_visit(
            request=made, seen=Seen(visited_on=ON, visited_by="Odile", seen="wet"), act=act
        ),
        "close": lambda: helping.close(request=made, outcome="solved", note="", act=act),
    }

    with pytest.raises(ValidationError, match="is closed"):
        acts[what]()
    assert not HelpStep.objects.exists()
    assert not Visit.objects.exists()


def test_a_closed_request_opens_again_with_its_history(act):
    made = make_help_request(state="closed", advised_on=ON, outcome_asked_on=ON)

    again = helping.reopen(request=made)

    assert (again.state, again.outcome, again.outcome_asked_on) == ("advised", "", None)
    with pytest.raises(ValidationError, match="still open"):
        helping.reopen(request=again)


def test_what_is_still_to_come_is_not_written_down(act):
    made = make_help_request()

    with pytest.raises(ValidationError, match="still to come"):
        helping.record_step(request=made, kind="call", on=ON + datetime.timedelta(days=1), words="", act=act)


CASE = FromAuthority(authority="County vector control", case_number="VC-4", received_on=ON)


def complaint_of(household, **differences):
    facts = {"due_on": ON + datetime.timedelta(days=10)} | differences
    return Asked(came_by="authority", kind="complaint", household=household, **facts)


def test_a_complaint_is_kept_with_its_case_and_stays_until_reported_back(act):
    made = helping.open_complaint(asked=complaint_of(make_household()), case=CASE, act=act)

    assert list(HelpRequest.objects.due_by(ON + datetime.timedelta(days=10)).complaints()) == [made]
    with pytest.raises(ValidationError, match="Report back"):
        helping.close(request=made, outcome="solved", note="", act=act)
    helping.report_back(complaint=made.complaint, outcome="mended", on=ON, act=act)
    helping.close(request=made, outcome="solved", note="", act=act)

    assert not HelpRequest.objects.complaints().not_closed().exists()


def test_a_complaint_without_a_due_date_keeps_nothing(act):
    with pytest.raises(ValidationError, match="wants an answer"):
        helping.open_complaint(asked=complaint_of(make_household(), due_on=None), case=CASE, act=act)

    assert not HelpRequest.objects.exists()


def test_a_case_recorded_twice_keeps_nothing_of_the_second(act):
    make_complaint(case_number="VC-4")
    before = HelpRequest.objects.count()

    with pytest.raises((ValidationError, IntegrityError)):
        helping.open_complaint(asked=complaint_of(make_household()), case=CASE, act=act)

    assert HelpRequest.objects.count() == before
    assert Complaint.objects.count() == 1


def test_help_requests_follow_a_merge_and_come_back(act):
    kept, absorbed = make_household(), make_household()
    ours, theirs = make_help_request(household=kept), make_help_request(household=absorbed)
    record = merging.merge(kept=kept, absorbed=absorbed, by=act.by, at=AT, reason="The same people")

    assert set(HelpRequest.objects.counted_for(kept)) == {ours, theirs}
    absorbed.refresh_from_db()
    since = make_help_request(household=absorbed)

    merging.unmerge(record=record, by=act.by, at=AT)

    assert set(HelpRequest.objects.counted_for(kept)) == {ours}
    absorbed.refresh_from_db()
    assert set(HelpRequest.objects.counted_for(absorbed)) == {theirs, since}
