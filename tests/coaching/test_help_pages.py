"""Help, as the office works with it: list, record, look whose it is, advise, visit, close; and who may not."""

import datetime
import io

import pytest
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from outreach.bins import stays
from outreach.bins.models import Pause
from outreach.coaching.models import Complaint, HelpRequest, HelpStep, LocalRules, Visit
from outreach.post.models import Message
from outreach.staff.roles import Role
from tests.factories.bins import make_handout
from tests.factories.coaching import make_complaint, make_help_request, make_local_rules
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction

pytestmark = pytest.mark.django_db


def page(name, *args):
    return reverse(name, args=args)


def text_of(answer):
    return "\n".join(one.extract_text() for one in PdfReader(io.BytesIO(answer.content)).pages)


def test_help_is_a_place_of_its_own(as_coordinator):
    html = as_coordinator.get(page("help")).content.decode()

    assert f'href="{page("help")}" aria-current="page"' in html
    assert "Nobody has asked for help yet." in html


def test_the_list_begins_with_what_is_due_first_and_can_be_narrowed(as_coordinator):
    later = make_help_request(due_on=datetime.date(2025, 7, 1), symptoms=["ants"])
    sooner = make_help_request(due_on=datetime.date(2025, 6, 1), symptoms=["rats"])
    closed = make_help_request(state="closed")

    listed = as_coordinator.get(page("help")).context["page"].object_list
    about_rats = as_coordinator.get(page("help"), {"symptom": "rats"}).context["page"].object_list
    still = as_coordinator.get(page("help"), {"standing": "not_closed"}).context["page"].object_list

    assert list(listed) == [sooner, later, closed]
    assert list(about_rats) == [sooner]
    assert set(still) == {sooner, later}


def test_a_problem_told_on_the_phone_is_recorded_for_its_household(as_coordinator):
    person = make_participant()
    url = f"{page('help_add')}?household={person.household_id}"

    answer = as_coordinator.post(
        url, {"came_by": "phone", "symptoms": ["sour"], "participant": person.pk, "own_words": "It smells."}
    )

    made = HelpRequest.objects.get()
    assert answer.url == page("help_request", made.pk)
    assert (made.kind, made.participant, made.household) == ("problem", person, person.household)


def test_an_objection_names_who_objects(as_coordinator):
    url = f"{page('help_add')}?household={make_household().pk}"

    as_coordinator.post(url, {"came_by": "phone", "objector": "landlord"})

    assert (HelpRequest.objects.get().kind, HelpRequest.objects.get().objector) == ("objection", "landlord")


def test_a_request_of_nobody_says_what_is_missing(as_coordinator):
    answer = as_coordinator.post(page("help_add"), {"came_by": "phone", "symptoms": ["sour"]})

    assert answer.status_code == 422
    assert "to reach them" in answer.content.decode()


COMPLAINT = {
    "authority": "County vector control",
    "case_number": "VC-77",
    "received_on": "2025-06-02",
    "due_on": "2025-06-20",
    "ordered_action": "Screen the bin.",
}


def test_a_complaint_stands_on_season_until_it_is_closed(as_coordinator):
    url = f"{page('complaint_add')}?household={make_household().pk}"
    as_coordinator.post(url, COMPLAINT)
    complaint = Complaint.objects.get()
    number = complaint.help_request_id

    assert "VC-77" in as_coordinator.get("/").content.decode()
    as_coordinator.post(page("complaint_report", number), {"outcome": "mended", "on": "2025-06-10"})
    as_coordinator.post(page("help_close", number), {"outcome": "solved"})

    assert HelpRequest.objects.get().is_closed
    assert "VC-77" not in as_coordinator.get("/").content.decode()


def test_the_number_of_a_case_is_not_shown_to_readers(as_role):
    make_complaint(case_number="VC-99")

    html = as_role(Role.CITY_ANALYST).get("/").content.decode()

    assert "VC-99" not in html


def test_whose_it_is_is_found_by_what_they_wrote(as_coordinator):
    person = make_participant(phone="555-555-0142", phone_key="5555550142")
    asked = make_help_request(household=None, phone="555-555-0142", came_by="public_page")

    html = as_coordinator.get(page("help_household", asked.pk)).content.decode()
    as_coordinator.post(page("help_household", asked.pk), {"household": person.household_id})

    assert str(person.household) in html
    assert HelpRequest.objects.get().household == person.household


def test_advice_is_sent_in_the_language_of_whoever_asked(as_coordinator):
    person = make_participant(language="es", email="wren@example.org")
    asked = make_help_request(household=person.household, participant=person, symptoms=["dry"])

    as_coordinator.post(page("help_advice", asked.pk), {"how": "send", "own_words": "Hola"})

    message = Message.objects.get(kind="help.advice")
    asked.refresh_from_db()
    assert message.recipient_email == "wren@example.org"
    assert "Está demasiado seca." in message.body
    assert "Hola" in message.body
    assert asked.state == "advised"


def test_whoever_has_only_a_phone_is_put_on_the_call_list(as_coordinator):
    person = make_participant(phone="555-0142")
    asked = make_help_request(household=person.household, symptoms=["dry"])

    as_coordinator.post(page("help_advice", asked.pk), {"how": "send"})

    assert Message.objects.get(kind="help.advice").channel == Message.Channel.CALL


def test_advice_is_printed_with_causes_and_cautions(as_coordinator):
    make_participant(household=(household := make_household()), full_name="Wren Halloway")
    rules = make_local_rules(jurisdiction=household.jurisdiction, lot_line_feet=10)
    asked = make_help_request(household=household, jurisdiction=rules.jurisdiction, symptoms=["rats"])

    printed = text_of(as_coordinator.post(page("help_advice", asked.pk), {"how": "print"}))

    assert "Wren Halloway" in printed
    assert "mesh" in printed
    assert "Call vector control if you see rats" in printed.replace("\n", " ")
    assert "At least 10 feet from the lot line." in printed
    assert HelpStep.objects.get().kind == "advice_printed"


def test_the_letter_is_in_both_languages_with_the_local_rules(as_coordinator):
    rules = make_local_rules(jurisdiction=make_jurisdiction(name="Quillby"), dwelling_feet=20)
    asked = make_help_request(
        kind="objection",
        objector="association",
        household=make_household(street="17 Bellweather Crescent", jurisdiction=rules.jurisdiction),
        jurisdiction=rules.jurisdiction,
    )

    printed = text_of(as_coordinator.get(page("help_letter", asked.pk))).replace("\n", " ")

    assert "To the homeowners' association" in printed
    assert "At least 20 feet from a neighbour's dwelling." in printed
    assert "A la asociación de propietarios" in printed
    assert "Al menos 20 pies" in printed
    assert "no legal advice" in printed


def test_a_visit_is_written_down(as_coordinator):
    asked = make_help_request()

    as_coordinator.post(
        page("help_visit", asked.pk),
        {"visited_on": "2025-06-03", "visited_by": "Odile", "bin_in_use": "yes", "seen": "wet"},
    )

    assert Visit.objects.get().bin_in_use == "yes"
    assert "wet" in as_coordinator.get(page("help_request", asked.pk)).content.decode()


def test_a_stop_heard_of_on_the_phone_ends_the_stay(as_coordinator):
    household = make_household()
    make_handout(household=household, handed_on=datetime.date(2025, 1, 10))
    stays.rebuild([household])
    sent = {"from_on": "2025-05-01", "known_from": "help"}

    as_coordinator.post(page("pause_add", household.pk), sent)
    pause = Pause.objects.get()
    as_coordinator.post(page("pause", pause.pk), {"on": "2025-06-01"})

    pause.refresh_from_db()
    assert pause.until_on == datetime.date(2025, 6, 1)
    as_coordinator.post(page("pause", pause.pk), {"step": "withdraw"})
    assert not Pause.objects.standing().exists()


def test_the_page_of_the_household_tells_of_help_without_their_words(as_role):
    asked = make_help_request(symptoms=["ants"], own_words="My sister hates ants")

    for role in (Role.COORDINATOR, Role.CITY_ANALYST):
        html = as_role(role).get(page("household", asked.household_id)).content.decode()

        assert "Asked for help" in html
        assert "My sister" not in html


@pytest.mark.parametrize("role", [Role.CITY_ANALYST, Role.AUDITOR])
def test_readers_of_figures_see_no_help_requests(as_role, role):
    assert as_role(role).get(page("help")).status_code == 403


def test_closing_without_an_outcome_is_refused(as_coordinator):
    asked = make_help_request()

    answer = as_coordinator.post(page("help_close", asked.pk), {"note": "?"})

    assert answer.status_code == 422
    asked.refresh_from_db()
    assert not asked.is_closed


def test_a_closed_request_can_be_opened_again(as_coordinator):
    asked = make_help_request(state="closed")

    as_coordinator.post(page("help_reopen", asked.pk))
    again = as_coordinator.post(page("help_reopen", asked.pk), follow=True).content.decode()

    assert "still open" in again


def test_local_rules_are_set_up_and_corrected(as_coordinator):
    town = make_jurisdiction(name="Quillby")
    sent = {"jurisdiction": town.pk, "lot_line_feet": 10, "source": "Code 8.1", "checked_on": "2025-02-01"}

    as_coordinator.post(page("local_rule_add"), sent)
    rules = LocalRules.objects.get()
    refused = as_coordinator.post(page("local_rule", rules.pk), sent | {"lot_line_feet": 5000})

    assert "Quillby" in as_coordinator.get(page("local_rules")).content.decode()
    assert "from 0 to 1000 feet" in refused.content.decode()


def test_what_is_late_says_so(as_coordinator):
    make_help_request(due_on=timezone.localdate() - datetime.timedelta(days=1))

    assert "past its day" in as_coordinator.get(page("help"), {"standing": "late"}).content.decode()
