"""Diagnosis and asking for help: public, in both languages, and telling nobody who takes part."""

import datetime

import pytest
from django.urls import reverse

from outreach.coaching.models import HelpRequest
from outreach.workshops import trying
from tests.factories.coaching import make_local_rules
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction, make_served_place

pytestmark = pytest.mark.django_db

ASKED = {
    "symptom": ["sour", "flies"],
    "own_words": "It stinks since the rain.",
    "written_name": "Wren Halloway",
    "phone": "555-0142",
    "street": "4 Alder Street",
    "zip_code": "00071",
}


def ask(client, *, language="en", **differences):
    address = f"{reverse('ask_for_help')}?language={language}"
    return client.post(address, {**ASKED, **differences})


def test_a_diagnosis_lists_causes_in_order_and_what_to_do(client):
    said = client.get(reverse("diagnosis"), {"symptom": ["sour", "soggy"], "language": "en"}).content.decode()

    assert said.index("too wet, so no air") < said.index("too many greens")
    assert "Mix in" in said or "mix in" in said
    assert "When to call someone" in said


def test_a_diagnosis_in_spanish_is_spanish(client):
    said = client.get(reverse("diagnosis"), {"symptom": "rats", "language": "es"}).content.decode()

    assert "llame a control de vectores" in said
    assert "Call vector control" not in said


def test_smoke_is_said_before_anything_else(client):
    said = client.get(reverse("diagnosis"), {"symptom": "hot", "language": "en"}).content.decode()

    assert said.index("Do not open it. Keep away and call 911.") < said.index('id="answer"')


def test_a_diagnosis_keeps_nothing(client):
    client.get(reverse("diagnosis"), {"symptom": "rats"})

    assert not HelpRequest.objects.exists()


def test_nothing_chosen_is_said_at_the_field(client):
    said = client.get(reverse("diagnosis"), {"sent": "1", "language": "en"}).content.decode()

    assert "Something is missing" in said
    assert "Choose at least one." in said


def test_the_local_rules_stand_beside_the_advice(client):
    rules = make_local_rules(
        jurisdiction=make_jurisdiction(name="Quillby"),
        lot_line_feet=10,
        most_bins=2,
        placement="behind the house",
        placement_es="detrás de la casa",
        vector_control_name="Tidewell Vector Control",
        vector_control_phone="555-0150",
    )
    ask_for = {"symptom": "rats", "town": rules.pk}

    english = client.get(reverse("diagnosis"), ask_for | {"language": "en"}).content.decode()
    spanish = client.get(reverse("diagnosis"), ask_for | {"language": "es"}).content.decode()

    assert "At least 10 feet from the lot line." in english
    assert "No more than 2 bins." in english
    assert "call Tidewell Vector Control, 555-0150" in english
    assert "Town code 8.12. The code itself decides" in english
    assert "detrás de la casa" in spanish
    assert "Al menos 10 pies del límite del terreno." in spanish


def test_a_question_is_kept_with_its_words_and_its_jurisdiction(client):
    served = make_served_place(zip_code="00071", jurisdiction=make_jurisdiction(name="Quillby"))

    answer = ask(client, language="es")

    assert answer.status_code == 302
    kept = HelpRequest.objects.get()
    assert (kept.came_by, kept.language, kept.written_name) == ("public_page", "es", "Wren Halloway")
    assert {one.symptom for one in kept.symptoms.all()} == {"sour", "flies"}
    assert kept.jurisdiction == served.jurisdiction
    assert kept.household is None


def test_a_stranger_hears_the_same_whether_the_address_takes_part_or_not(client):
    household = make_household(street="4 Alder Street", zip_code="00071")
    make_participant(household=household, full_name="Wren Halloway")

    known = client.get(ask(client).url)
    unknown = client.get(ask(client, street="99 Nowhere Lane", written_name="Someone Else").url)

    assert known.content == unknown.content
    assert all(one.household is None for one in HelpRequest.objects.all())


@pytest.mark.parametrize(
    ("differences", "sentence"),
    [
        ({"symptom": [], "own_words": ""}, "Choose what you notice, or write it"),
        ({"phone": ""}, "Give a phone or an e-mail address"),
        ({"written_name": ""}, "Give a name to ask for."),
        ({"zip_code": "ten"}, "A ZIP has five digits."),
        ({"email": "wren"}, "Check the e-mail address"),
    ],
)
def test_what_is_missing_is_said_and_nothing_is_lost(client, differences, sentence):
    answer = ask(client, **differences)

    said = answer.content.decode()
    assert answer.status_code == 422
    assert sentence in said
    assert 'value="4 Alder Street"' in said
    assert not HelpRequest.objects.exists()


def test_a_script_that_fills_in_everything_is_thanked_and_not_kept(client):
    answer = ask(client, fax="555-0199")

    assert answer.status_code == 302
    assert not HelpRequest.objects.exists()


def test_nobody_sends_without_end(client):
    for _ in range(trying.MOST_PER_CONTACT):
        assert ask(client).status_code == 302

    answer = ask(client)

    assert answer.status_code == 429
    assert "try again in an hour" in answer.content.decode()
    assert HelpRequest.objects.count() == trying.MOST_PER_CONTACT


def test_the_form_comes_with_what_was_diagnosed(client):
    said = client.get(reverse("ask_for_help"), {"symptom": ["ants"], "language": "en"}).content.decode()

    assert 'value="ants" id="id_symptom_5" checked' in said.replace(" aria-invalid", "")


def test_a_question_is_due_within_days(client):
    ask(client)

    kept = HelpRequest.objects.get()
    assert kept.due_on - kept.opened_on == datetime.timedelta(days=5)
