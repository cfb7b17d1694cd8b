"""The programme's own containers: set up once, and answers by hand and from exports are read with them."""

import datetime

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from outreach.followup import answering, reviewing
from outreach.followup.answer_reading import AnswerAsGiven
from outreach.followup.models import Answer, OwnContainer
from outreach.households import recording
from outreach.intake.taking_in import take_in
from outreach.places.addresses import read_address
from outreach.places.serving import PlacesList
from tests.factories.households import make_household
from tests.factories.paperwork import make_csv
from tests.factories.places import make_served_place
from tests.factories.staff import make_member

pytestmark = pytest.mark.django_db
AT = datetime.datetime(2025, 6, 2, 9, tzinfo=datetime.UTC)


def make_container(**differences) -> OwnContainer:
    made = OwnContainer(**{"name": "green caddy", "ml": 7000} | differences)
    made.full_clean()
    made.save()
    return made


def record(text: str):
    given = AnswerAsGiven(
        household=make_household(),
        answered_on=AT.date(),
        composting="yes",
        channel="paper",
        food_text=text,
    )
    return answering.record_answer(given=given, by=make_member(), at=AT).answer


def test_an_answer_in_its_words_is_read_with_its_size_and_kept_as_written():
    make_container(name="Green Caddy", other_words="tub, cubito verde")

    texts = ("2 green caddies", "2 tubs", "2 cubitos verdes", "medio cubito verde", "2 blue caddies")
    answers = [record(text) for text in texts]

    assert [one.food_as_written for one in answers] == list(texts)
    # The last is the kitchen caddy that is always known, of one US gallon, 3.785 litres.
    assert [one.food_ml_per_week for one in answers] == [14_000, 14_000, 14_000, 3_500, 7_571]
    assert not any(one.waits for one in answers)


def test_its_name_goes_before_the_standard_one_and_a_retired_one_is_not_read():
    made = make_container(name="bucket", ml=10_000)

    assert record("a bucket").food_ml_per_week == 10_000
    made.is_retired = True
    made.full_clean()
    made.save()
    # Five US gallons of 3.785411784 litres, by the definition of the gallon.
    assert record("a bucket").food_ml_per_week == 18_927


def test_a_correction_reads_with_the_size_of_its_day_and_what_was_read_before_stays():
    made = make_container()
    old = record("a green caddy")
    made.ml = 8000
    made.save()
    given = AnswerAsGiven(
        household=old.household,
        answered_on=AT.date(),
        composting="yes",
        channel="paper",
        food_text="a green caddy",
    )

    new = reviewing.correct_answer(answer=old, given=given, by=make_member(), at=AT)

    old.refresh_from_db()
    assert (old.food_ml_per_week, new.food_ml_per_week) == (7000, 8000)


@pytest.mark.parametrize("name", ["2 gallon pail", "week", "half", "one two three four five"])
def test_a_name_that_could_not_be_read_is_refused_with_what_to_do(name):
    with pytest.raises(ValidationError, match="could not be read"):
        make_container(name=name)


def test_a_word_belongs_to_one_container():
    make_container(other_words="tub")

    with pytest.raises(ValidationError, match="already means another container"):
        make_container(name="blue box", other_words="tub")
    with pytest.raises(ValidationError, match="on the list already"):
        make_container(name="GREEN  CADDY")


@pytest.mark.postgres
def test_the_database_refuses_a_size_that_nobody_carries():
    with pytest.raises(ValidationError, match=r"0\.05 to 1000 litres"):
        make_container(ml=10)
    with pytest.raises(IntegrityError), transaction.atomic():
        OwnContainer.objects.create(name="thimble", name_key="thimble", ml=10)


def test_the_pages_add_correct_and_retire(client):
    client.force_login(make_member(role="coordinator"))

    refused = client.post("/follow-up/containers/add/", {"name": "green caddy", "litres": "0"})
    added = client.post("/follow-up/containers/add/", {"name": "green caddy", "litres": "7.5"})
    made = OwnContainer.objects.get()
    client.post(
        f"/follow-up/containers/{made.pk}/",
        {"name": "green caddy", "litres": "6", "other_words": "tub", "is_retired": "on"},
    )
    page = client.get("/follow-up/containers/").content.decode()
    made.refresh_from_db()

    assert refused.status_code == 422
    assert added.status_code == 302
    assert (made.ml, made.other_words, made.is_retired) == (6000, "tub", True)
    assert "not used any more" in page
    assert "5-gallon bucket" in page
    assert 'value="6' in client.get(f"/follow-up/containers/{made.pk}/").content.decode()


def test_an_export_is_read_with_it():
    make_container()
    make_served_place(city_name="Quillby", zip_code="00071")
    recording.record_household(
        address=read_address("12 Tarn Road", unit="", city="Quillby", zip_code="00071"),
        place=PlacesList.load().resolve("Quillby", "00071"),
        began_on=datetime.date(2024, 6, 1),
    )
    export = make_csv(
        [
            ["Date", "Name", "Street address", "City", "ZIP", "Still composting?", "Food scraps per week"],
            ["06/01/2025", "Ada Person", "12 Tarn Road", "Quillby", "00071", "yes", "3 green caddies"],
        ]
    )

    take_in([("answers.csv", export)], by=make_member(), at=AT)

    answer = Answer.objects.get()
    assert (answer.food_as_written, answer.food_ml_per_week, answer.waits) == (
        "3 green caddies",
        21_000,
        False,
    )
