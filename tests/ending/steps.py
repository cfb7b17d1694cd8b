"""Saying that steps of the end are done, for tests that begin later."""

from django.utils import timezone

from outreach.ending import closing
from outreach.ending.closing import Act
from outreach.ending.models import EndStep
from outreach.staff.roles import Role
from tests.factories.staff import make_member

Step = EndStep.Step


def act(**said):
    return Act(by=make_member(role=Role.ADMINISTRATOR), at=timezone.now(), **said)


def say_done(*steps):
    """As if these steps had been done, with nothing to do."""
    facts = {Step.SIGN_UP: {"waves": []}, Step.BINS: {"movements": []}}
    for step in steps:
        closing.note(step=step, is_done=True, facts=facts.get(step, {}), act=act())
