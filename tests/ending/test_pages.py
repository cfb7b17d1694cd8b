"""The pages of closing the programme, for administrators alone."""

import pytest
from django.urls import reverse

from outreach.ending import closing, missing
from outreach.ending.models import EndStep
from outreach.staff import working
from outreach.staff.models import Job
from outreach.staff.roles import Role
from tests.ending.steps import say_done
from tests.factories.households import make_participant

pytestmark = pytest.mark.django_db
Step = EndStep.Step


@pytest.fixture
def administrator(as_role):
    return as_role(Role.ADMINISTRATOR)


def test_each_step_says_what_it_waits_for(administrator):
    page = administrator.get(reverse("programme_end")).content.decode()

    assert "Nothing has been filed." in page
    assert "First: Sign-up, waves and questions are closed." in page
    assert page.count("Do this step") == 2  # sign-up and bins wait for nothing in an empty programme


def test_a_step_is_confirmed_done_and_taken_back(administrator):
    address = reverse("programme_end_step", args=["sign_up"])

    assert administrator.post(address, {"understood": ""}).status_code == 422
    administrator.post(address, {"understood": "on"})
    assert closing.is_done(Step.SIGN_UP)

    administrator.post(reverse("programme_end_take_back", args=["sign_up"]))
    assert not closing.is_done(Step.SIGN_UP)
    assert "taken back:" in administrator.get(reverse("programme_end")).content.decode()


def test_destroying_is_typed_in_full_and_certified(administrator):
    person = make_participant(full_name="Ada Holm")
    say_done(*missing.BEFORE_DESTROYING)
    address = reverse("programme_end_step", args=["contact_data"])

    wrong = administrator.post(address, {"understood": "on", "fetched": "on", "typed": "yes"})
    assert "Type the word destroy in full" in wrong.content.decode()

    administrator.post(address, {"understood": "on", "fetched": "on", "typed": "destroy"})
    working.run_queued()

    assert Job.objects.latest("pk").state == "done", Job.objects.latest("pk").message
    person.refresh_from_db()
    assert "Holm" not in person.full_name
    page = administrator.get(reverse("end_certificate")).content.decode()
    assert "households.Participant" in page
    assert "Ada" not in page


def test_the_open_files_are_written_and_fetched(administrator):
    say_done(*missing.BEFORE_DESTROYING[:-1])

    administrator.post(reverse("programme_end_step", args=["open_files"]), {"understood": "on"})
    working.run_queued()

    answer = administrator.get(reverse("end_open_files"))
    assert b"".join(answer.streaming_content).startswith(b"PK")


def test_what_is_not_there_is_said(administrator):
    assert administrator.get(reverse("end_open_files")).status_code == 404
    assert administrator.get(reverse("end_certificate")).status_code == 404
    assert administrator.get(reverse("programme_end_step", args=["party"])).status_code == 404


def test_every_step_that_was_done_says_so(administrator):
    say_done(*missing.BEFORE_DESTROYING[:-1])
    administrator.post(reverse("programme_end_step", args=["open_files"]), {"understood": "on"})
    working.run_queued()

    page = administrator.get(reverse("programme_end")).content.decode()

    assert page.count("Take it back") == len(missing.BEFORE_DESTROYING)
    assert EndStep.objects.get(step="open_files").facts["sha256"] in page
    assert "Fetch the open files" in page


@pytest.mark.parametrize("role", [role for role in Role if role != Role.ADMINISTRATOR])
def test_nobody_else_closes_the_programme(as_role, role):
    client = as_role(role)

    assert client.get(reverse("programme_end")).status_code == 403
    assert client.get(reverse("end_open_files")).status_code == 403
