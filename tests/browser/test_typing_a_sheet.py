"""A sign-in sheet of 38 people typed by keyboard only, counted in keys."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from outreach.bins.models import Handout
from outreach.followup.models import Answer
from outreach.staff.roles import Role
from outreach.workshops import row_codes
from outreach.workshops.models import Registration
from tests.factories.bins import make_bin_model, make_rule
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_served_place
from tests.factories.workshops import make_registration, make_workshop

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
BOOKED, WALK_INS, MINUTES = 26, 12, 15
# Copy typing of names and numbers at 35 words of five letters a minute: common practice, no source.
KEYS_A_MINUTE = 175


@pytest.fixture(autouse=True)
def uploads(settings, tmp_path):
    settings.MEDIA_ROOT = tmp_path


class Keys:
    """Types and presses, and counts."""

    def __init__(self, page):
        self.page, self.count = page, 0

    def type(self, text):
        self.page.keyboard.type(text)
        self.count += len(text)

    def press(self, key):
        self.page.keyboard.press(key)
        self.count += 1

    def row(self, *cells):
        """One row from its first field on; Enter saves it and the next row waits for its first key."""
        for number, cell in enumerate(cells):
            if number:
                self.press("Tab")
            self.type(cell)
        self.press("Enter")

    def wait_for_row(self, number):
        """A person sees the next row before the next key."""
        expect(self.page.locator(f"#row_code-{number}")).to_be_focused()


def test_thirty_eight_people_in_a_quarter_of_an_hour(look_as, capsys):
    town = make_served_place(city_name="Tidewell", zip_code="00431").jurisdiction
    make_rule()
    make_bin_model(name="Mesh ring")
    workshop = make_workshop(jurisdiction=town)
    booked = [make_registration(workshop=workshop) for _number in range(BOOKED)]
    look = look_as(Role.COORDINATOR)
    page = look.open(reverse("type_sign_ins", args=[workshop.pk]))
    keys = Keys(page)
    keys.wait_for_row(3)

    for number, one in enumerate(booked, start=1):
        code = row_codes.code_of(one.pk).replace("-", "")
        keys.row(code, *([""] * 6), "Mesh ring") if number % 2 else keys.row(code)
        keys.wait_for_row(number + 3)
    for number in range(WALK_INS):
        keys.row(
            "",
            f"Cy Lund{chr(97 + number)}",
            f"{number + 60} Reed St",
            "",
            "",
            "00431",
            "555-0123",
            "Mesh ring",
        )
        keys.wait_for_row(BOOKED + number + 4)

    with capsys.disabled():
        print(f"\n38 rows, 25 bins: {keys.count} keys, {keys.count / KEYS_A_MINUTE:.1f} minutes")
    assert Registration.objects.at(workshop).who_came().count() == BOOKED + WALK_INS
    assert Handout.objects.count() == BOOKED // 2 + WALK_INS
    assert keys.count <= MINUTES * KEYS_A_MINUTE
    assert look.serious_barriers() == []
    assert look.complaints == []


def test_what_is_known_stands_beside_the_row_while_it_is_typed(look_as):
    workshop = make_workshop(
        jurisdiction=make_served_place(city_name="Tidewell", zip_code="00431").jurisdiction
    )
    booked = make_registration(workshop=workshop)
    look = look_as(Role.COORDINATOR)
    page = look.open(reverse("type_sign_ins", args=[workshop.pk]))

    keys = Keys(page)
    keys.wait_for_row(3)
    keys.type(row_codes.code_of(booked.pk))
    page.keyboard.press("Tab")

    expect(page.locator("#said-3")).to_contain_text(str(booked.household))
    expect(page.locator("#said-3")).to_contain_text("On the list: booked.")


def test_a_stack_of_answers_on_paper_goes_in_by_keyboard_alone(look_as):
    towns = make_served_place(city_name="Tidewell", zip_code="00431").jurisdiction
    homes = [make_household(jurisdiction=towns, street=f"{number} Reed St") for number in (5, 7)]
    for home, name in zip(homes, ("Ada Holm", "Cy Lund"), strict=True):
        make_participant(household=home, full_name=name)
    look = look_as(Role.COORDINATOR)
    page = look.open(reverse("type_answers"))
    order = (
        page.locator("tbody tr")
        .first.locator("input[type=text]")
        .evaluate_all("inputs => inputs.map(input => input.name.replace(/-[0-9]+$/, ''))")
    )
    # The day stands in the next row already.
    told = [
        {"date": "2025-08-30", "name": "Ada Holm", "composting": "yes", "food": "2 gallons"},
        {"name": "Cy Lund", "composting": "no", "note": "the dog dug it up"},
    ]

    keys = Keys(page)
    for number, answer in enumerate(told, start=3):
        expect(page.locator(f"#{order[0]}-{number}")).to_be_focused()
        keys.row(*(answer.get(name, "") for name in order))
    expect(page.locator(f"#{order[0]}-5")).to_be_focused()

    kept = {one.household: one for one in Answer.objects.all()}
    # A US gallon is 3.785411784 L (NIST Handbook 44).
    assert (kept[homes[0]].composting, kept[homes[0]].food_ml_per_week) == ("yes", 7571)
    assert (kept[homes[1]].composting, kept[homes[1]].channel) == ("stopped", "paper")
    assert look.serious_barriers() == []
    assert look.cut_off() == []
    assert look.complaints == []
