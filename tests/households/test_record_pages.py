"""Adding, correcting, linking and merging on screen."""

import datetime
import re

from django.test import Client
from django.urls import reverse

from outreach.households.models import DuplicateRuling, Household, HouseholdMerge, Participant
from outreach.staff.models import AuditEntry
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_served_place

GIVEN = {
    "name": "SANDOVAL, UMAR",
    "email": "Umar@Example.org",
    "phone": "(503) 555-0195",
    "street": "206 marsh street",
    "unit": "apt. 4",
    "city": "Mill.",
    "zip_code": "",
    "began_on": "2025-05-09",
    "composting_before": "new",
    "language": "es",
}


def add(client, **differences):
    return client.post(reverse("household_add"), GIVEN | differences, follow=True).content.decode()


def millrace():
    return make_served_place(city_name="Millrace", city_key="MILLRACE", zip_code="00418")


def test_a_household_and_its_first_person_are_added_as_read(as_coordinator):
    place = millrace()

    page = add(as_coordinator)

    household = Household.objects.get()
    person = household.participants.get()
    assert (household.street, household.unit, household.zip_code) == ("206 Marsh St", "Apt 4", "00418")
    assert household.jurisdiction == place.jurisdiction
    assert (person.full_name, person.email, person.phone) == (
        "Umar Sandoval",
        "umar@example.org",
        "503-555-0195",
    )
    assert "206 Marsh St Apt 4" in page


def test_a_form_can_be_sent_from_a_browser(coordinator):
    browser = Client(enforce_csrf_checks=True)
    browser.force_login(coordinator, backend="outreach.staff.signing_in.CurrentStaffBackend")
    page = browser.get(reverse("household_add")).content.decode()
    token = re.search(r'<form class="form".*?name="csrfmiddlewaretoken" value="(\w+)"', page, re.DOTALL)

    answer = browser.post(reverse("household_add"), GIVEN | {"csrfmiddlewaretoken": token.group(1)})

    assert answer.status_code == 302
    assert Household.objects.exists()


def test_adding_it_again_opens_the_one_that_is_there(as_coordinator):
    millrace()
    add(as_coordinator)

    page = add(as_coordinator, street="206 MARSH ST. #4", unit="", name="Edda Sandoval")

    assert Household.objects.count() == 1
    assert Participant.objects.count() == 2
    assert "This household was already recorded." in page


def test_what_cannot_be_an_address_is_refused_and_nothing_is_lost(as_coordinator):
    page = add(as_coordinator, street="PO Box 12")

    assert "A post office box is not a dwelling." in page
    assert 'value="SANDOVAL, UMAR"' in page
    assert not Household.objects.exists()


def test_an_email_without_a_name_asks_whose_it_is(as_coordinator):
    assert "Whose e-mail or phone is it?" in add(as_coordinator, name="")
    assert not Household.objects.exists()


def test_ways_to_reach_a_person_that_cannot_be_read_are_refused(as_coordinator):
    page = add(as_coordinator, email="umar at home", phone="later")

    assert "That is no e-mail address." in page
    assert "That is no phone number." in page


def test_an_address_outside_the_places_served_says_so(as_coordinator):
    millrace()

    page = add(as_coordinator, city="Far Wickham", zip_code="00588")

    assert "This address is outside the places served." in page
    assert Household.objects.get().jurisdiction is None


def test_city_and_zip_that_disagree_are_pointed_out(as_coordinator):
    millrace()

    page = add(as_coordinator, city="Far Wickham", zip_code="418")

    assert "City and ZIP do not belong together." in page
    assert Household.objects.get().city_name == "Millrace"


def test_a_correction_keeps_its_reason_in_the_trail(as_coordinator):
    millrace()
    add(as_coordinator)
    household = Household.objects.get()
    given = GIVEN | {"street": "208 Marsh St", "reason": "The sheet was hard to read"}

    as_coordinator.post(reverse("household_correct", args=[household.pk]), given)

    household.refresh_from_db()
    assert household.street_key == "208 MARSH ST"
    assert AuditEntry.objects.filter(reason="The sheet was hard to read").exists()


def test_correcting_onto_another_household_is_refused_in_words(as_coordinator):
    millrace()
    add(as_coordinator)
    add(as_coordinator, street="208 Marsh St")
    other = Household.objects.get(street_key="208 MARSH ST")

    page = as_coordinator.post(reverse("household_correct", args=[other.pk]), GIVEN).content.decode()

    assert "A household at this address and unit is already recorded." in page


def test_a_person_is_added_and_corrected(as_coordinator):
    household = make_household()
    given = {"name": "talia o'dell", "first_seen_on": "2025-05-09"}
    as_coordinator.post(reverse("participant_add", args=[household.pk]), given)
    person = household.participants.get()

    as_coordinator.post(
        reverse("participant", args=[person.pk]), given | {"name": "Talia McKay", "phone": "503 555 0101"}
    )

    person.refresh_from_db()
    assert (person.full_name, person.phone_key) == ("Talia McKay", "5035550101")


def test_renaming_a_person_to_another_of_the_household_is_refused(as_coordinator):
    first = make_participant(full_name="Ada Ueda")
    second = make_participant(household=first.household, full_name="Bo Ueda")

    page = as_coordinator.post(
        reverse("participant", args=[second.pk]), {"name": "ADA UEDA", "first_seen_on": "2025-01-01"}
    ).content.decode()

    assert "Someone of this name is already recorded in the household." in page


def test_two_records_of_a_person_are_linked_and_parted(as_coordinator):
    first, second = make_participant(email="a@example.org"), make_participant(email="a@example.org")

    as_coordinator.post(reverse("participant_link", args=[second.pk, first.pk]))
    second.refresh_from_db()
    linked = second.same_person_as
    as_coordinator.post(reverse("participant_unlink", args=[second.pk]))
    second.refresh_from_db()

    assert linked == first
    assert second.same_person_as is None


def test_a_merge_is_looked_at_done_and_undone(as_coordinator):
    kept, absorbed = make_household(street="1 A St"), make_household(street="1 A Street")
    address = reverse("household_merge", args=[kept.pk, absorbed.pk])

    preview = as_coordinator.get(address).content.decode()
    as_coordinator.post(address, {"reason": "The same door"})
    absorbed.refresh_from_db()
    merged_into = absorbed.merged_into
    undo = reverse("merge_undo", args=[HouseholdMerge.objects.get().pk])
    question = as_coordinator.get(undo).content.decode()
    as_coordinator.post(undo)
    absorbed.refresh_from_db()

    assert "1 A St" in preview
    assert "It can be undone" in preview
    assert merged_into == kept
    assert "Leave them merged" in question
    assert absorbed.merged_into is None


def test_looking_at_two_records_merges_nothing(as_coordinator):
    kept, absorbed = make_household(), make_household()

    as_coordinator.get(reverse("household_merge", args=[kept.pk, absorbed.pk]))
    as_coordinator.post(reverse("household_merge", args=[kept.pk, absorbed.pk]), {"reason": ""})

    assert not HouseholdMerge.objects.exists()


def test_a_pair_ruled_different_is_not_proposed_again(as_coordinator):
    first, second = make_participant(email="a@example.org"), make_participant(email="a@example.org")
    left, right = first.household_id, second.household_id

    as_coordinator.post(reverse("duplicates_different", args=["household", left, right]))
    page = as_coordinator.get(reverse("duplicates")).content.decode()

    assert DuplicateRuling.objects.count() == 1
    assert "No likely duplicates." in page


def test_the_other_record_is_found_by_searching(as_coordinator):
    household = make_household(street="1 A St")
    make_household(street="9 Found Ave", street_key="9 FOUND AVE")
    make_household(street="8 Else Ave", street_key="8 ELSE AVE")

    page = as_coordinator.get(reverse("merge_choose", args=[household.pk]), {"q": "found"}).content.decode()

    assert "9 Found Ave" in page
    assert "8 Else Ave" not in page


def test_a_moved_out_household_says_so_on_its_page(as_coordinator):
    household = make_household(ended_on=datetime.date(2025, 3, 1), bin_after_move="left_behind")

    page = as_coordinator.get(reverse("household", args=[household.pk])).content.decode()

    assert "Moved out" in page
    assert "left behind" in page
