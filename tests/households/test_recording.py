"""Recording households and people: one at an address, whoever asks and however often."""

import datetime
import os
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.exceptions import ValidationError

from outreach.households import linking, recording
from outreach.households.models import Household, Participant
from outreach.places.addresses import read_address
from outreach.places.serving import ResolvedPlace
from tests import migrated
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction

pytestmark = pytest.mark.django_db
MAY = datetime.date(2025, 5, 9)
MILLRACE = ResolvedPlace(city_name="Millrace", zip_code="00418", is_served=True, understood=True)


def record(text="206 Marsh Street #4", on=MAY, place=MILLRACE):
    return recording.record_household(address=read_address(text), place=place, began_on=on)


def add(household, name="Ada Ueda", on=MAY, **reach):
    person = recording.person_facts(name, **reach)
    return recording.add_participant(household=household, person=person, first_seen_on=on)


def test_a_household_is_recorded_with_its_keys_and_jurisdiction():
    town = make_jurisdiction()
    place = ResolvedPlace(jurisdiction_id=town.pk, city_name="Millrace", zip_code="00418")

    household, is_new = record(place=place)

    assert is_new
    assert household.jurisdiction == town
    assert (household.address_key, household.unit_key) == ("206 MARSH ST 00418", "4")


def test_recording_it_again_in_another_spelling_gives_the_one_that_is_there():
    first, _ = record()

    again, is_new = record("206 MARSH ST. APT 4")

    assert again == first
    assert not is_new


@pytest.mark.parametrize("text", ["PO Box 12", "Main St", ""])
def test_what_is_no_address_is_refused_in_words(text):
    with pytest.raises(ValidationError) as told:
        record(text)

    assert told.value.messages == [read_address(text).problem]
    assert not Household.objects.exists()


def test_an_earlier_day_makes_it_known_since_then():
    record(on=MAY)

    household, _ = record(on=datetime.date(2024, 1, 1))

    household.refresh_from_db()
    assert household.began_on == datetime.date(2024, 1, 1)


def test_another_unit_is_another_household():
    assert record("206 Marsh St #4")[0] != record("206 Marsh St #5")[0]


def test_after_moving_out_the_next_people_are_a_new_household():
    first, _ = record()
    first.ended_on, first.bin_after_move = datetime.date(2025, 6, 1), "left_behind"
    first.save()

    then, then_is_new = record(on=datetime.date(2025, 5, 20))
    now, now_is_new = record(on=datetime.date(2025, 7, 1))

    assert (then, then_is_new) == (first, False)
    assert now != first
    assert now_is_new


def test_an_address_merged_into_another_record_leads_to_it():
    kept = make_household()
    absorbed, _ = record()
    absorbed.merged_into = kept
    absorbed.save()

    assert record() == (kept, False)


def test_a_person_of_the_same_name_is_the_same_person_and_gains_what_was_missing():
    household, _ = record()
    first, _ = add(household)

    again, is_new = add(household, "UEDA, ADA", on=datetime.date(2025, 1, 1), email="ada@example.org")

    first.refresh_from_db()
    assert (again, is_new) == (first, False)
    assert first.email == "ada@example.org"
    assert first.first_seen_on == datetime.date(2025, 1, 1)


def test_what_was_known_of_a_person_is_not_overwritten():
    household, _ = record()
    add(household, email="ada@example.org", phone="503-555-0101")

    person, _ = add(household, email="other@example.org", phone="503-555-0102")

    assert (person.email, person.phone) == ("ada@example.org", "503-555-0101")


def test_a_correction_onto_an_occupied_address_is_refused_and_nothing_is_written():
    record("206 Marsh St #4")
    other, _ = record("208 Marsh St")

    with pytest.raises(ValidationError, match="already recorded"):
        recording.correct_household(
            household=other,
            address=read_address("206 Marsh St Unit 4"),
            place=MILLRACE,
            began_on=MAY,
            facts=recording.HouseholdFacts(),
        )

    other.refresh_from_db()
    assert other.street_key == "208 MARSH ST"


def test_links_are_never_more_than_one_step_deep():
    first, second, third = (make_participant() for _ in range(3))
    linking.link_same_person(participant=third, same_as=second)

    linking.link_same_person(participant=second, same_as=first)

    third.refresh_from_db()
    assert third.same_person_as == first


def test_linking_to_a_linked_record_counts_under_the_one_that_stands():
    first, second, third = (make_participant() for _ in range(3))
    linking.link_same_person(participant=second, same_as=first)

    linking.link_same_person(participant=third, same_as=second)

    third.refresh_from_db()
    assert third.same_person_as == first


def test_a_circle_of_links_is_refused():
    first, second = make_participant(), make_participant()
    linking.link_same_person(participant=second, same_as=first)

    with pytest.raises(ValidationError, match="already one person"):
        linking.link_same_person(participant=first, same_as=second)


def test_people_of_a_household_are_those_of_its_merged_records_too():
    kept, absorbed = make_household(), make_household()
    ours, theirs = make_participant(household=kept), make_participant(household=absorbed)
    absorbed.merged_into = kept
    absorbed.save()

    assert set(Participant.objects.of(kept)) == {ours, theirs}


RECORD_ONE = """
import sys, datetime, time, django
django.setup()
from outreach.households import recording
from outreach.places.addresses import read_address
from outreach.places.serving import ResolvedPlace
time.sleep(max(0, float(sys.argv[1]) - time.time()))
for number in range(20):
    household, is_new = recording.record_household(
        address=read_address(f"{number + 1} Marsh St"),
        place=ResolvedPlace(city_name="Millrace", zip_code="00418"),
        began_on=datetime.date(2025, 5, 9),
    )
    print(household.pk, is_new)
"""


def test_two_processes_that_record_the_same_households_at_once_get_the_same_ones(tmp_path):
    environment = os.environ | {
        "LOAMBOOK_VAR": str(tmp_path),
        "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
    }
    environment.pop("DATABASE_URL", None)
    root = Path(__file__).parents[2]
    if not migrated.copy_to(tmp_path / "loambook.sqlite3"):
        migrate = [sys.executable, "manage.py", "migrate", "-v0"]
        subprocess.run(migrate, cwd=root, env=environment, check=True, timeout=240)
    begin = datetime.datetime.now(datetime.UTC).timestamp() + 8
    racers = [
        subprocess.Popen(
            [sys.executable, "-c", RECORD_ONE, str(begin)],
            cwd=root,
            env=environment,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]

    told = [[line.split() for line in racer.communicate(timeout=120)[0].splitlines()] for racer in racers]

    assert [racer.returncode for racer in racers] == [0, 0]
    assert [row[0] for row in told[0]] == [row[0] for row in told[1]]
    assert all({mine[1], theirs[1]} == {"True", "False"} for mine, theirs in zip(*told, strict=True))
    with sqlite3.connect(tmp_path / "loambook.sqlite3") as database:
        assert database.execute("SELECT COUNT(*) FROM households_household").fetchone() == (20,)
