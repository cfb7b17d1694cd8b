"""The main job by hand in a browser: from an empty set-up to a filed quarter on disk."""

import datetime
import io

import openpyxl
import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect
from pypdf import PdfReader

from outreach.bins.models import Handout, StockMovement, StockPlace
from outreach.filings import periods
from outreach.filings.models import Filing
from outreach.followup.models import Answer
from outreach.staff.roles import Role
from outreach.workshops.models import Registration
from tests.factories.bins import make_bin_model
from tests.factories.places import make_jurisdiction, make_served_place, make_venue
from tests.factories.staff import make_member

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def town(transactional_db):
    jurisdiction = make_jurisdiction(name="Quillby")
    make_served_place(jurisdiction=jurisdiction, city_name="Quillby", zip_code="00071")
    make_venue(name="Quillby Grange", jurisdiction=jurisdiction)
    make_bin_model(name="Mesh bin 110 gal", family="mesh", litres=416)
    StockPlace.objects.get_or_create(name="Yard store", defaults={"kind": StockPlace.Kind.STORE})
    return jurisdiction


@pytest.fixture
def window(chromium, live_server):
    context = chromium.new_context(viewport={"width": 1280, "height": 900}, accept_downloads=True)
    page = context.new_page()
    page.set_default_timeout(30_000)
    make_member(
        username="odile", full_name="Odile Marsh", role=Role.COORDINATOR, password="bellflower-moss-7"
    )
    page.goto(live_server.url)
    yield page
    context.close()


def sign_in(page: Page) -> None:
    page.get_by_label("Sign-in name").fill("odile")
    page.get_by_label("Password").fill("bellflower-moss-7")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Season", level=1)).to_be_visible()


def receive_bins(page: Page, base: str) -> None:
    page.goto(f"{base}/bins/receive/")
    page.get_by_label("Bin model").select_option(label="Mesh bin 110 gal")
    page.get_by_label("Bins received").fill("12")
    page.get_by_label("Put where").select_option(label="Yard store")
    page.get_by_role("button", name="Put them in the ledger").click()
    expect(page.get_by_role("heading", name="Bins", level=1)).to_be_visible()


def add_workshop(page: Page, held_on: datetime.date) -> None:
    page.get_by_role("link", name="Workshops").first.click()
    page.get_by_role("link", name="Add a workshop").first.click()
    page.get_by_label("Date").fill(held_on.isoformat())
    page.get_by_label("Venue").select_option(label="Quillby Grange")
    page.get_by_label("Jurisdiction").select_option(label="Quillby")
    page.locator("main form.form button").first.click()


def add_person(page: Page) -> None:
    page.get_by_role("link", name="Add a person to the list").click()
    new = page.locator("#new")
    new.get_by_label("Name").fill("Amara Boateng")
    new.get_by_label("Street address").fill("12 Alder Street")
    new.get_by_label("City").fill("Quillby")
    new.get_by_label("ZIP").fill("00071")
    new.get_by_label("E-mail").fill("amara@example.org")
    new.get_by_role("button", name="Book a place").click()
    expect(page.locator("#roster")).to_contain_text("Amara Boateng")


def mark_attended_and_hand_out(page: Page) -> None:
    page.locator("#roster").get_by_role("button", name="Came").click()
    expect(page.locator("#roster")).to_contain_text("attended")
    page.reload()
    page.get_by_role("button", name="Takes it").click()
    expect(page.get_by_text("Mesh bin 110 gal").first).to_be_visible()


def enter_answer(page: Page, base: str, answered_on: datetime.date) -> None:
    household = Registration.objects.get().household_id
    page.goto(f"{base}/follow-up/answers/add/{household}/")
    page.get_by_label("Answered on").fill(answered_on.isoformat())
    page.get_by_label("yes", exact=True).check()
    page.get_by_label("Food scraps").fill("2 gallons")
    page.get_by_label("Yard trimmings").fill("1 five-gallon bucket")
    page.get_by_label("Where did it go before?").fill("Trash")
    page.locator("main form.form button").first.click()


def file_the_quarter(page: Page) -> None:
    page.get_by_role("link", name="Filings").first.click()
    page.get_by_role("link", name="Begin a filing").first.click()
    page.get_by_label("Jurisdiction").select_option(label="Quillby")
    page.get_by_role("button", name="Make the draft").click()
    expect(page.get_by_text("Draft, computed from today")).to_be_visible()
    for finding in page.locator("textarea[name^=answer-]").all():
        finding.fill("It is known; the figure stands all the same.")
    page.get_by_role("button", name="Submit this filing").click()
    expect(page.get_by_text("cannot be changed").first).to_be_visible()


def download(page: Page, name: str) -> bytes:
    with page.expect_download() as waiting:
        page.get_by_role("link", name=name, exact=True).first.click()
    return waiting.value.path().read_bytes()


def test_from_an_empty_season_to_a_filed_quarter(window, live_server, town):
    quarter = periods.last_full_quarter(timezone.localdate())
    held_on = periods.first_day(periods.shifted(quarter, -1))

    sign_in(window)
    receive_bins(window, live_server.url)
    window.goto(live_server.url)
    add_workshop(window, held_on)
    add_person(window)
    mark_attended_and_hand_out(window)
    enter_answer(window, live_server.url, periods.first_day(quarter) + datetime.timedelta(days=20))
    file_the_quarter(window)
    pdf, workbook = download(window, "PDF"), download(window, "Workbook")

    assert Handout.objects.get().handed_on == held_on
    assert StockMovement.objects.filter(why="handed_out").count() == 1
    assert Answer.objects.get().food_ml_per_week == 7571  # 2 US gallons of 3.785411784 L
    filing = Filing.objects.get()
    assert filing.title in PdfReader(io.BytesIO(pdf)).pages[0].extract_text().replace("\n", " ")
    assert openpyxl.load_workbook(io.BytesIO(workbook))["Summary"]["A1"].value == filing.title
