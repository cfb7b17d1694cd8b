"""The demo's help requests and complaints: invented, some in Spanish, and at every stage."""

from datetime import date, datetime, timedelta
from typing import Any

from django.db import transaction

from outreach.coaching import helping
from outreach.coaching.helping import Act, Asked, FromAuthority, Seen
from outreach.coaching.models import Complaint, HelpRequest
from outreach.households.models import Household
from outreach.site.demo import scenario
from outreach.staff.models import StaffMember

FACTS = ("came_by", "kind", "objector", "own_words", "language", "written_name", "email", "phone")


@transaction.atomic
def ask(*, by: StaffMember, at: datetime) -> None:
    """Open each request so many days ago, and do with it what the fixture says."""
    households = iter(Household.objects.order_by("pk"))
    for one in scenario.set_up()["help"]:
        household = None if one.get("household") is False else next(households)
        _ask(one, household, by=by, at=at)


def _ask(one: dict[str, Any], household: Household | None, *, by: StaffMember, at: datetime) -> None:
    opened = Act(by=by, at=at - timedelta(days=one["days_ago"]))
    asked = Asked(
        household=household,
        symptoms=tuple(one.get("symptoms", ())),
        due_on=opened.on + timedelta(days=one["answer_in_days"]) if "answer_in_days" in one else None,
        **{name: one[name] for name in FACTS if name in one},
    )
    if "authority" in one:
        request = helping.open_complaint(asked=asked, case=_case(one, opened.on), act=opened)
    else:
        request = helping.open_request(asked=asked, act=opened)
    _do(one, request, Act(by=by, at=at))


def _case(one: dict[str, Any], received_on: date) -> FromAuthority:
    return FromAuthority(
        authority=one["authority"],
        case_number=one["case_number"],
        received_on=received_on,
        ordered_action=one.get("ordered_action", ""),
    )


def _do(one: dict[str, Any], request: HelpRequest, act: Act) -> None:
    opened_on = act.on - timedelta(days=one["days_ago"])
    if "advice" in one:
        helping.record_step(
            request=request,
            kind="advice_said",
            on=opened_on + timedelta(days=1),
            words=one["advice"],
            act=act,
        )
    if "seen" in one:
        visit = Seen(
            visited_on=opened_on + timedelta(days=3),
            visited_by=one["visitor"],
            seen=one["seen"],
            bin_in_use="yes",
        )
        helping.record_visit(request=request, seen=visit, act=act)
    if "told_authority" in one:
        complaint = Complaint.objects.get(help_request=request)
        helping.report_back(
            complaint=complaint,
            outcome=one["told_authority"],
            on=opened_on + timedelta(days=5),
            act=act,
        )
    if "outcome" in one:
        helping.close(request=request, outcome=one["outcome"], note=one.get("note", ""), act=act)
