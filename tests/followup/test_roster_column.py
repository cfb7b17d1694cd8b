"""At the door of a later workshop whoever owes an answer is asked, and the answer says that it came there."""

import datetime

import pytest
from django.test import Client
from django.urls import reverse

from outreach.followup.models import Answer
from outreach.followup.roster_column import cells
from outreach.households import consent
from outreach.staff.roles import Role
from outreach.workshops.models import Registration
from tests.factories.followup import make_answer
from tests.factories.households import make_household, make_participant
from tests.factories.workshops import make_registration, make_workshop
from tests.followup.by_link import current

pytestmark = pytest.mark.django_db


@pytest.fixture
def workshop(today, invitation):
    """Today's, to which Ada has come, who was asked; and Ben, who has no bin."""
    workshop = make_workshop(held_on=today)
    for person in (invitation.household.participants.get(), make_participant(household=make_household())):
        make_registration(
            workshop=workshop,
            participant=person,
            household=person.household,
            counted_under=person.household,
            state="attended",
            arrived_at=datetime.datetime.now(datetime.UTC),
        )
    return workshop


def told(workshop):
    rows = list(
        Registration.objects.at(workshop).order_by("pk").select_related("workshop", "participant__household")
    )
    return rows, cells(rows)


def test_whoever_owes_an_answer_is_handed_the_form_and_nobody_else(workshop):
    (ada, ben), found = told(workshop)

    assert set(found) == {ada.pk}
    assert ben.pk not in found


def test_what_they_answer_there_came_at_a_workshop(workshop, invitation):
    (ada, _ben), found = told(workshop)
    address = found[ada.pk].form_url

    page = Client().get(address)
    Client().post(address, {"composting": "yes", "food_container": "kitchen-pail", "food_count": "1"})

    assert page.status_code == 200
    assert (current().channel, current().household) == ("door", invitation.household)
    assert current().get_channel_display() == "at a workshop"
    assert told(workshop)[1] == {}


def test_typed_by_the_office_it_is_kept_as_said_at_the_door(as_coordinator, workshop, invitation, today):
    page = as_coordinator.get(reverse("workshop", args=[workshop.pk])).content.decode()
    typed = f"{reverse('answer_add', args=[invitation.household_id])}?channel=door"
    assert "Let them answer here" in page
    assert typed in page

    form = as_coordinator.get(typed).content.decode()
    assert '<option value="door" selected>' in form
    as_coordinator.post(
        typed, {"answered_on": today, "channel": "door", "composting": "on_and_off", "asked_per": "week"}
    )

    assert (Answer.objects.get().channel, Answer.objects.get().wave) == ("door", invitation.wave)


def test_the_crew_hands_over_the_form_and_types_nothing(as_role, workshop):
    page = as_role(Role.DOOR_CREW).get(reverse("workshop", args=[workshop.pk])).content.decode()

    assert "Let them answer here" in page
    assert "Type what they say" not in page


@pytest.mark.parametrize("reason", ["answered", "said no"])
def test_whoever_has_answered_or_said_no_is_not_asked(workshop, invitation, today, reason):
    home = invitation.household
    if reason == "answered":
        make_answer(household=home, wave=invitation.wave, answered_on=today)
    else:
        now = datetime.datetime.now(datetime.UTC)
        consent.say(household=home, purpose="follow_up", is_given=False, how="link", at=now)

    assert told(workshop)[1] == {}


def test_the_column_asks_the_database_the_same_whatever_the_list(
    workshop, today, django_assert_max_num_queries
):
    for _number in range(12):
        person = make_participant(household=make_household())
        make_registration(
            workshop=workshop, participant=person, household=person.household, counted_under=person.household
        )
    rows = list(Registration.objects.at(workshop).select_related("workshop", "participant__household"))

    with django_assert_max_num_queries(12):
        cells(rows)
