"""The main forms with JavaScript switched off: a household, a workshop, who came, a bin."""

import re

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from outreach.bins import ledger
from outreach.bins.models import Handout, StockPlace
from outreach.households.models import Household
from outreach.staff.roles import Role
from outreach.workshops.models import Registration
from tests.factories.bins import make_bin_model, make_rule
from tests.factories.places import make_jurisdiction, make_served_place, make_venue

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def town(coordinator):
    jurisdiction = make_jurisdiction(name="Quillby")
    make_served_place(jurisdiction=jurisdiction, city_name="Quillby", zip_code="00071")
    make_venue(name="Quillby Grange", jurisdiction=jurisdiction)
    store, _is_new = StockPlace.objects.get_or_create(
        name="Yard store", defaults={"kind": StockPlace.Kind.STORE}
    )
    make_rule()
    ledger.receive(
        bin_model=make_bin_model(name="Mesh bin 110 gal"),
        quantity=5,
        to_place=store,
        received_on=timezone.localdate(),
        by=coordinator,
        at=timezone.now(),
    )


def add_household(page: Page) -> None:
    page.get_by_role("link", name="Add a household").click()
    page.get_by_label("Street address").fill("12 Alder Street")
    page.get_by_label("City").fill("Quillby")
    page.get_by_label("ZIP").fill("00071")
    page.get_by_label("Who signed up").fill("Amara Boateng")
    page.get_by_role("button", name="Add the household").click()
    expect(page.get_by_role("heading", name="12 Alder St")).to_be_visible()


def add_workshop(page: Page) -> None:
    page.get_by_role("link", name="Add a workshop").first.click()
    page.get_by_label("Date").fill(timezone.localdate().isoformat())
    page.get_by_label("Venue").select_option(label="Quillby Grange")
    page.get_by_label("Jurisdiction").select_option(label="Quillby")
    page.locator("main form.form button").first.click()
    expect(page.get_by_text("The workshop is recorded")).to_be_visible()


def book_someone_known(page: Page) -> None:
    page.get_by_role("link", name="Add a person to the list").click()
    page.get_by_label("Name, e-mail, phone or street address").fill("amara")
    page.get_by_role("button", name="Look for them").click()
    page.get_by_role("button", name=re.compile("Book a place.*Amara Boateng")).click()


def someone_new_walks_in(page: Page) -> None:
    page.get_by_role("link", name="Someone walked in").click()
    new = page.locator("#new")
    new.get_by_label("Name").fill("Bram Oyelaran")
    new.get_by_label("Street address").fill("14 Alder Street")
    new.get_by_label("City").fill("Quillby")
    new.get_by_label("ZIP").fill("00071")
    new.get_by_role("button", name="Walked in").click()


def test_the_main_forms_work_without_script(look_as, town):
    window = look_as(Role.COORDINATOR, width=360, script=False)
    window.open("/households/")

    add_household(window.page)
    window.open("/workshops/")
    add_workshop(window.page)
    book_someone_known(window.page)
    someone_new_walks_in(window.page)
    window.page.get_by_role("button", name=re.compile("Came.*Amara Boateng")).click()
    window.page.get_by_role("row", name="Amara Boateng").get_by_role("button", name="Takes it").click()

    came = Registration.objects.who_came().values_list("participant__full_name", flat=True)
    assert sorted(came) == ["Amara Boateng", "Bram Oyelaran"]
    assert Household.objects.count() == 2
    assert Handout.objects.get().participant.full_name == "Amara Boateng"
    expect(window.page.get_by_text("Handed out: Mesh bin 110 gal.")).to_be_visible()


def test_a_list_is_narrowed_without_script(look_as, town):
    window = look_as(Role.COORDINATOR, script=False)

    window.open("/set-up/venues/")
    window.page.get_by_label("Jurisdiction").select_option(label="Quillby")
    window.page.get_by_role("button", name="Show", exact=True).click()

    assert "jurisdiction=" in window.page.url
    expect(window.page.get_by_role("link", name="Quillby Grange")).to_be_visible()
