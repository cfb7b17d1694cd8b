"""A workshop in a park: two phones, the server really stopped, the pages started cold; then everything goes up once."""

import datetime
import shutil

import pytest
from django.utils import timezone
from playwright.sync_api import BrowserContext, Page, expect

from outreach.bins.models import BinModel, Handout, StockBalance, StockMovement
from outreach.door import passing
from outreach.door.models import Device, DoorEvent, EventOutcome
from outreach.staff.roles import Role
from outreach.workshops.models import Registration, WaiverAcceptance, Workshop
from tests.browser.server_process import ServerProcess
from tests.factories.bins import make_bin_model, make_rule
from tests.factories.door import make_table
from tests.factories.households import make_household, make_participant
from tests.factories.places import make_jurisdiction, make_served_place
from tests.factories.staff import make_member
from tests.factories.workshops import make_registration, make_waiver_text, make_workshop

pytestmark = [
    pytest.mark.browser,
    pytest.mark.django_db(transaction=True),
    pytest.mark.postgres,
    pytest.mark.slow,
]

PEOPLE, BINS_AT_THE_TABLE = 30, 25
# Who stands at which phone. Both of the first two live in one household; each gets a bin at another phone.
AT_THE_FIRST, AT_THE_SECOND = range(0, 20), range(20, 30)
BINS_OF_THE_FIRST, BINS_OF_THE_SECOND = range(0, 8), range(20, 24)
TOGETHER = (0, 20)
SLOW = 60_000
KEPT = """async () => {
  const told = [];
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) told.push(request.url, await (await cache.match(request)).text());
  }
  for (const { name } of await indexedDB.databases()) {
    const open = await new Promise((resolve, reject) => {
      const asked = indexedDB.open(name);
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });
    for (const store of open.objectStoreNames) {
      const rows = open.transaction(store).objectStore(store).getAll();
      told.push(JSON.stringify(await new Promise((resolve) => (rows.onsuccess = () => resolve(rows.result)))));
    }
    open.close();
  }
  told.push(JSON.stringify({ ...localStorage }), JSON.stringify({ ...sessionStorage }), document.cookie);
  return told.join("\\n");
}"""


def name_of(number: int) -> str:
    return f"Wren Thornquist{number:02d}"


@pytest.fixture
def workshop(transactional_db) -> Workshop:
    jurisdiction = make_jurisdiction(name="Quillby")
    make_served_place(jurisdiction=jurisdiction, city_name="Quillby", zip_code="00071")
    make_rule(in_force_from_on=datetime.date(2020, 1, 1))
    made = make_workshop(held_on=timezone.localdate(), seats=60, jurisdiction=jurisdiction)
    make_table(made, bins=BINS_AT_THE_TABLE, bin_model=make_bin_model(name="Mesh bin 110 gal"))
    for language, body in (("en", "I lift with my knees."), ("es", "Levanto con las rodillas.")):
        make_waiver_text(language=language, body=body)
    homes = [make_household(jurisdiction=jurisdiction) for _number in range(PEOPLE - 1)]
    for number in range(PEOPLE):
        home = homes[TOGETHER[0] if number == TOGETHER[1] else number - (number > TOGETHER[1])]
        person = make_participant(full_name=name_of(number), household=home)
        make_registration(workshop=made, participant=person, state=Registration.State.BOOKED)
    return made


@pytest.fixture
def code(workshop) -> str:
    crew = make_member(role=Role.COORDINATOR)
    return passing.make_pass(workshop=workshop, may_except=False, by=crew, at=timezone.now()).code


@pytest.fixture
def server(workshop):
    running = ServerProcess()
    running.start()
    yield running
    running.stop()


class Phone:
    """A browser with a profile on disk, so that it can be closed and started again."""

    def __init__(self, chromium, folder) -> None:
        self._chromium, self._folder = chromium, folder
        self.context: BrowserContext | None = None

    def start(self) -> Page:
        browser = self._chromium.browser_type
        self.context = browser.launch_persistent_context(
            self._folder,
            executable_path=self._chromium_path(),
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
            viewport={"width": 360, "height": 760},
        )
        self.context.set_default_timeout(SLOW)
        return self.context.pages[0]

    def stop(self) -> None:
        if self.context is not None:
            self.context.close()
            self.context = None

    def cold_start(self, address: str) -> Page:
        self.stop()
        page = self.start()
        page.goto(address)
        return page

    @staticmethod
    def _chromium_path() -> str:
        return shutil.which("chromium") or shutil.which("chromium-browser") or ""


@pytest.fixture
def phones(chromium, tmp_path):
    made = [Phone(chromium, tmp_path / name) for name in ("first", "second")]
    yield made
    for phone in made:
        phone.stop()


def let_in(page: Page, server: ServerProcess, code: str, who: str) -> None:
    page.goto(f"{server.base}/door/#pass={code}")
    page.get_by_label("Your name").fill(who)
    page.locator("#pass-form button").click()
    expect(page.locator("#connection")).to_contain_text("Ready to work without a signal", timeout=SLOW)
    assert code not in page.url


def find(page: Page, number: int) -> None:
    search = page.get_by_label("Name, address or code")
    search.fill(name_of(number).split()[1])
    search.press("Enter")
    expect(page.locator(".door-person.open")).to_contain_text(name_of(number))


def check_in(page: Page, number: int) -> None:
    find(page, number)
    page.get_by_role("button", name="Check in 1 person").click()
    expect(page.get_by_text(f"{name_of(number)} is checked in.")).to_be_visible()


def accept_waiver(page: Page, number: int) -> None:
    find(page, number)
    page.get_by_role("button", name="Turn the screen to them: Spanish").click()
    expect(page.get_by_text("Levanto con las rodillas.")).to_be_visible()
    page.locator("#typed").fill(name_of(number))
    page.locator("#accept").click()
    page.locator("#resident-back").click()


def give_bin(page: Page, number: int) -> None:
    find(page, number)
    page.get_by_role("button", name="Hand out the bin").click()
    expect(page.locator(".door-person.open")).to_contain_text("Handed out: Mesh bin 110 gal")


def unsent(page: Page, count: int) -> None:
    expect(page.locator("#unsent")).to_have_text(str(count), timeout=SLOW)


def finish(page: Page) -> None:
    page.get_by_role("button", name="More", exact=True).click()
    page.get_by_role("button", name="Finish on this device").click()
    expect(page.get_by_text("Nothing about residents is left on this device.")).to_be_visible()


def test_a_workshop_without_a_network_is_on_record_once_and_leaves_nothing_behind(
    workshop, server, phones, code
):
    address = f"{server.base}/door/{workshop.pk}/"
    for phone, who in zip(phones, ("Fern Adeyemi", "Ash Delgado"), strict=True):
        let_in(phone.start(), server, code, who)

    server.stop()
    first, second = (phone.cold_start(address) for phone in phones)
    assert not server.answers()
    for page, there in ((first, AT_THE_FIRST), (second, AT_THE_SECOND)):
        for number in there:
            check_in(page, number)
    accept_waiver(first, 3)
    for number in BINS_OF_THE_FIRST:
        give_bin(first, number)
    first = phones[0].cold_start(address)
    for number in BINS_OF_THE_SECOND:
        give_bin(second, number)
    unsent(first, len(AT_THE_FIRST) + 1 + len(BINS_OF_THE_FIRST))
    unsent(second, len(AT_THE_SECOND) + len(BINS_OF_THE_SECOND))
    expect(first.locator("#foot_bins")).to_have_text(str(BINS_AT_THE_TABLE - len(BINS_OF_THE_FIRST)))

    server.start()
    for page in (second, first):  # whoever comes second on the day is the first to deliver
        page.evaluate("window.dispatchEvent(new Event('online'))")
        unsent(page, 0)
    for page in (first, second):
        page.reload()
        expect(page.locator("#foot_people")).to_have_text(str(PEOPLE), timeout=SLOW)
        expect(page.locator("#foot_bins")).to_have_text("13")

    every_fact_is_on_record_once(workshop)

    for page in (first, second):
        assert "Thornquist" in page.evaluate(KEPT)
        finish(page)
        kept = page.evaluate(KEPT)
        assert "Thornquist" not in kept
        assert "Alder" not in kept
        assert "Fern" not in kept
        assert "Thornquist" not in page.content()
    assert Device.objects.filter(ended_at__isnull=False).count() == 2


def every_fact_is_on_record_once(workshop: Workshop) -> None:
    came = Registration.objects.filter(workshop=workshop, state=Registration.State.ATTENDED)
    handouts = Handout.objects.filter(workshop=workshop, voided_at__isnull=True)
    [model] = BinModel.objects.all()
    assert came.count() == Registration.objects.filter(workshop=workshop).count() == PEOPLE
    assert handouts.count() == len(BINS_OF_THE_FIRST) + len(BINS_OF_THE_SECOND) == 12
    assert WaiverAcceptance.objects.filter(workshop=workshop).count() == 1
    assert WaiverAcceptance.objects.get().text.language == "es"

    [outside] = handouts.exclude(exception=None)
    within = handouts.get(counted_under=outside.counted_under, exception=None)
    assert outside.participant.full_name == name_of(TOGETHER[1])
    assert within.happened_at < outside.happened_at

    assert StockBalance.objects.get(place__kind="store").on_hand == BINS_AT_THE_TABLE - 12
    out = StockMovement.objects.filter(bin_model=model, handout__isnull=False)
    assert out.count() == 12

    sent = DoorEvent.objects.filter(device__workshop=workshop)
    assert sent.count() == PEOPLE + 12 + 1
    assert set(EventOutcome.objects.values_list("state", flat=True)) == {EventOutcome.State.APPLIED}
    assert {one.by_name for one in sent} == {"Fern Adeyemi", "Ash Delgado"}
    for device in Device.objects.all():
        numbers = [one.seq for one in sent.filter(device=device).order_by("corrected_at", "seq")]
        assert numbers == list(range(1, len(numbers) + 1))


def test_what_the_worker_keeps_is_all_that_the_pages_ask_for(server, phones, workshop, code):
    page = phones[0].start()
    let_in(page, server, code, "Fern Adeyemi")
    asked: list[str] = []
    server.stop()

    page.on("requestfailed", lambda request: asked.append(request.url))
    page.goto(f"{server.base}/door/{workshop.pk}/")
    expect(page.get_by_role("button", name=name_of(0))).to_be_visible()
    page.goto(f"{server.base}/door/")
    expect(page.get_by_role("link", name="Open it with a door pass or your sign-in")).to_be_visible()

    failed = {url.removeprefix(server.base) for url in asked}
    assert {url for url in failed if not url.startswith("/api/")} <= {"/door/worker.js", "/door/"}
