"""An answer that asks for help opens one help request, and old paperwork opens none."""

import datetime

import pytest

from outreach.coaching.models import HelpRequest
from outreach.followup import asking_help
from tests.factories.followup import make_answer
from tests.factories.households import make_household

pytestmark = pytest.mark.django_db

AT = datetime.datetime(2025, 12, 1, 18, tzinfo=datetime.UTC)


def test_an_answer_that_asks_for_help_opens_one_request():
    answer = make_answer(
        household=make_household(language="es"),
        wants_help=True,
        problems="Huele mal",
        in_force_until_day=10**6,
    )
    make_answer(wants_help=False, problems="It is fine")

    assert [asking_help.open_wanted(AT) for _ in range(2)] == [1, 0]

    made = HelpRequest.objects.get()
    assert (made.came_by, made.own_words, made.language) == ("answer", "Huele mal", "es")
    assert made.household == answer.household
    assert made.due_on == datetime.date(2025, 12, 6)


def test_a_request_that_was_closed_is_not_opened_again():
    make_answer(wants_help=True)
    asking_help.open_wanted(AT)
    HelpRequest.objects.update(state="closed", outcome="solved", closed_at=AT)

    assert asking_help.open_wanted(AT) == 0


@pytest.mark.parametrize(("days", "opened"), [(60, 1), (61, 0)])
def test_old_paperwork_opens_none(days, opened):
    make_answer(wants_help=True, answered_on=datetime.date(2025, 12, 1) - datetime.timedelta(days=days))

    assert asking_help.open_wanted(AT) == opened


def test_a_corrected_answer_opens_none():
    make_answer(wants_help=True, is_current=False, in_force_from_day=0, in_force_until_day=0)

    assert asking_help.open_wanted(AT) == 0
