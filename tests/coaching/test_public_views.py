"""The pages for residents: without sign-in, in both languages, with errors in words."""

import pytest
from django.urls import reverse
from django.utils import timezone, translation
from django.utils.translation import gettext

from tests.coaching.sentences import every_sentence
from tests.factories.bins import make_bin_model
from tests.factories.staff import make_member

SAME_IN_BOTH = {"Material"}
RECIPE = {
    "green_1": "food",
    "green_1_count": "2",
    "green_1_container": "kitchen-pail",
    "green_2_container": "kitchen-pail",
    "green_3_container": "kitchen-pail",
    "brown_1": "leaves",
    "brown_1_container": "barrel",
    "brown_2_container": "barrel",
}
BIN = {
    "ground": "soil",
    "sun": "sun",
    "space": "one",
    "tending": "turned",
    "food_count": "2",
    "food_container": "kitchen-pail",
    "yard_container": "barrel",
}
pytestmark = pytest.mark.django_db


def test_every_sentence_has_its_spanish():
    with translation.override("es"):
        missing = {one for one in every_sentence() if gettext(one) == one}

    assert missing <= SAME_IN_BOTH


@pytest.mark.parametrize("name", ["recipe", "bin_advice"])
def test_a_stranger_sees_the_page_in_the_language_asked_for(client, name):
    english = client.get(reverse(name))
    chosen = client.get(reverse(name), {"language": "es"})
    preferred = client.get(reverse(name), headers={"accept-language": "es-MX,es;q=0.9"})

    assert '<html lang="en"' in english.content.decode()
    assert '<html lang="es"' in chosen.content.decode()
    assert chosen.headers["Content-Language"] == "es"
    assert "Cuídese" in preferred.content.decode()
    assert "Households" not in english.content.decode()


def test_two_pails_of_food_want_four_of_browns(client):
    said = client.get(reverse("recipe"), RECIPE).content.decode()

    assert "<strong>4 × kitchen pail (1 gallon)</strong>" in said


@pytest.mark.parametrize("count", ["-1", "0", "1e9", "much", "", "nan"])
def test_an_amount_that_cannot_be_is_refused_and_stays_on_the_form(client, count):
    said = client.get(reverse("recipe"), RECIPE | {"green_1_count": count}).content.decode()

    assert ("Something is missing" if count == "" else "Please look at this again") in said
    assert 'id="answer"' not in said


def test_the_bin_page_answers_with_kinds_room_and_dates(client):
    said = client.get(reverse("bin_advice"), BIN | {"language": "es"}).content.decode()

    assert "Conviene a su lugar" in said
    assert "Probablemente basta una compostera" in said


def test_a_bin_of_the_programme_can_be_chosen_once_it_is_confirmed(client):
    waiting = make_bin_model(name="Ring of the shed", litres=300)
    ours = make_bin_model(
        name="Green mesh bin", litres=416, confirmed_at=timezone.now(), confirmed_by=make_member()
    )

    said = client.get(reverse("bin_advice"), BIN | {"our_bin": ours.pk}).content.decode()

    assert "Green mesh bin, 110 gallons" in said
    assert "of 110 gallons" in said
    assert waiting.name not in said


def test_without_a_confirmed_bin_the_choice_is_left_out(client):
    assert "A bin of the programme" not in client.get(reverse("bin_advice")).content.decode()


def test_nothing_expected_is_said_at_the_field(client):
    said = client.get(reverse("bin_advice"), BIN | {"food_count": ""}).content.decode()

    assert "Give how much food" in said
