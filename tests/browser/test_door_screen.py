"""The screen of the Door at a phone's width: every state of it, taps counted, by keyboard alone, in both languages."""

import re

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import Look
from tests.browser.door_api import MESH, TUMBLER, DoorApi, open_door

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL = """() => [...document.querySelectorAll("button, a.button, input, textarea, summary, .door-choice label")]
  .filter((one) => !["radio", "checkbox"].includes(one.type) && one.getClientRects().length)
  .map((one) => [one.id || one.className || one.tagName, one.getBoundingClientRect()])
  .filter(([, box]) => box.height < 55.5 || box.width < 55.5)
  .map(([name, box]) => `${name} ${box.width} x ${box.height}`)"""
PALE = """() => {
  const light = (colour) => {
    const [r, g, b] = colour.match(/[\\d.]+/g).map((one) => one / 255)
      .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (one) => {
    for (let at = one; at; at = at.parentElement) {
      const { backgroundColor } = getComputedStyle(at);
      if (!/^rgba.*, 0\\)$|transparent/.test(backgroundColor)) return backgroundColor;
    }
    return "rgb(255, 255, 255)";
  };
  const ratio = (one) => {
    const [low, high] = [light(getComputedStyle(one).color), light(ground(one))].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  return [...document.querySelectorAll("body *")]
    .filter((one) => one.getClientRects().length && [...one.childNodes].some((n) => n.nodeType === 3 && n.data.trim()))
    .filter((one) => ratio(one) < 10)
    .map((one) => `${one.tagName} ${one.textContent} ${ratio(one)}`);
}"""
COUNT = """() => {
  window.taps = [];
  const fields = new Set();
  document.addEventListener("click", ({ target }) => {
    const one = target.closest("button, summary, input[type=radio]");
    if (one) window.taps.push(one.textContent || one.id);
  }, true);
  document.addEventListener("input", ({ target }) => {
    if (["radio", "checkbox"].includes(target.type) || fields.has(target.id)) return;
    fields.add(target.id);
    window.taps.push(target.id);
  }, true);
}"""
NAME_AND_ADDRESS = {"walk-in-name", "walk-in-street", "walk-in-unit", "walk-in-city", "walk-in-zip"}
MOST_BESIDE_NAME_AND_ADDRESS = 8


@pytest.fixture
def api():
    return DoorApi()


@pytest.fixture
def window(chromium, live_server, api):
    context = chromium.new_context(viewport={"width": 360, "height": 760}, service_workers="block")
    api.answer_in(context)
    page = context.new_page()
    page.set_default_timeout(15_000)
    seen = Look(page=page, base=live_server.url)
    page.on("console", lambda said: said.type == "error" and seen.complaints.append(said.text))
    page.on("pageerror", lambda error: seen.complaints.append(str(error)))
    yield seen
    context.close()


@pytest.fixture
def page(window):
    open_door(window.page, window.base)
    expect(window.page.get_by_role("button", name="Amara Boateng")).to_be_visible()
    return window.page


def faults(window: Look) -> list[str]:
    found = window.cut_off() + window.serious_barriers() + window.complaints
    return found + window.page.evaluate(SMALL) + window.page.evaluate(PALE)


def open_row(page: Page, name: str) -> None:
    page.get_by_role("button", name=name).click()


def test_the_list_and_each_step_of_a_person_meet_nobody_with_a_barrier(window, page):
    states = {"list": faults(window)}
    open_row(page, "Amara Boateng")
    states["to check in"] = faults(window)
    page.get_by_role("button", name="Check in 1 person").click()
    page.get_by_label("Tumbler").check()
    page.get_by_role("radio", name="Waived").check()
    states["bin to give"] = faults(window)
    page.get_by_role("button", name="Hand out the bin").click()
    expect(page.get_by_text("Say why the co-pay is waived.")).to_be_visible()
    states["something is missing"] = faults(window)
    page.get_by_label("Why it is waived").fill("low income")
    page.get_by_role("button", name="Hand out the bin").click()
    expect(page.get_by_text("Handed out: Tumbler 50 gal. Waived.")).to_be_visible()
    states["given"] = faults(window)
    open_row(page, "Philippa Ravensworth")
    page.get_by_role("button", name="Check in 1 person").click()
    expect(page.get_by_text("Your pass does not include exceptions.")).to_be_visible()
    states["outside the rule"] = faults(window)
    page.get_by_label("Name, address or code").fill("nobody at all")
    states["nobody found"] = faults(window)

    assert {state: found for state, found in states.items() if found} == {}


@pytest.mark.parametrize("language", ["English", "Spanish"])
def test_the_screen_turned_to_a_resident_has_no_barrier_and_names_nobody_else(window, page, language):
    open_row(page, "Íñigo Peña")
    page.get_by_role("button", name="Check in 1 person").click()
    page.get_by_role("button", name=f"Turn the screen to them: {language}").click()
    dialog = page.get_by_role("dialog")
    states = {"to read": faults(window)}
    page.locator("#accept").click()
    states["no name"] = faults(window)

    assert "Amara" not in dialog.inner_text()
    assert dialog.get_attribute("lang") == {"English": "en", "Spanish": "es"}[language]

    page.locator("#typed").fill("Íñigo Peña")
    page.locator("#accept").click()
    states["thanks"] = faults(window)
    page.locator("#resident-back").click()
    states["back"] = faults(window)

    assert {state: found for state, found in states.items() if found} == {}


@pytest.mark.parametrize("ticks", [True, False])
def test_a_resident_ticks_whether_they_may_be_asked_later(page, api, ticks):
    open_row(page, "Íñigo Peña")
    page.get_by_role("button", name="Check in 1 person").click()
    page.get_by_role("button", name="Turn the screen to them: Spanish").click()
    asked = page.get_by_label("Pueden preguntarnos después cómo va la composta")
    expect(asked).not_to_be_checked()
    if ticks:
        asked.check()
    page.locator("#accept").click()
    expect(page.locator("#typed")).to_be_focused()
    expect(asked).to_be_checked(checked=ticks)

    page.locator("#typed").fill("Íñigo Peña")
    page.locator("#accept").click()
    page.locator("#resident-back").click()
    all_sent(page)

    [accepted] = api.bodies("waiver_accepted")
    assert accepted["consent"] == {"given": ticks, "version": 1}


def test_walk_in_form_and_what_is_behind_more_have_no_barrier(window, page):
    states = {}
    page.get_by_role("button", name="Someone walked in").click()
    states["walk-in"] = faults(window)
    page.get_by_role("button", name="Check in and turn the screen: English").click()
    expect(page.get_by_text("Write the name.")).to_be_visible()
    states["walk-in without a name"] = faults(window)
    page.get_by_role("button", name="Back without saving").click()
    page.get_by_role("button", name="More", exact=True).click()
    states["more"] = faults(window)
    page.get_by_role("button", name="Note the headcount").click()
    states["no headcount"] = faults(window)
    page.get_by_role("button", name="Finish on this device").click()
    expect(page.get_by_text("Nothing about residents is left")).to_be_visible()
    states["finished"] = faults(window)

    assert {state: found for state, found in states.items() if found} == {}


def test_a_device_that_opened_nothing_is_shown_the_way_in(window):
    window.open("/door/7/")

    expect(window.page.get_by_role("link", name="Open it with a door pass or your sign-in")).to_be_visible()
    assert faults(window) == []


def test_a_cut_off_and_an_ended_device_have_no_barrier(window, page, api):
    api.is_down = True
    open_row(page, "Amara Boateng")
    page.get_by_role("button", name="Check in 1 person").click()
    expect(page.locator("#connection")).to_contain_text("No connection")
    states = {"offline": window.cut_off() + window.serious_barriers()}
    page.evaluate("async () => (await import('/static/door/keep.js')).end(7, 'This pass has ended.')")
    page.reload()
    expect(page.get_by_text("This pass has ended. 1 action is not sent yet")).to_be_visible()
    states["ended"] = window.cut_off() + window.serious_barriers() + page.evaluate(SMALL)

    assert {state: found for state, found in states.items() if found} == {}


def walk_in(page: Page, co_pay: str | None) -> None:
    """Someone nobody expected, with waiver and bin, as a crew member would tap it."""
    page.get_by_role("button", name="Someone walked in").click()
    page.locator("#walk-in-name").fill("Wren Okafor")
    page.locator("#walk-in-street").fill("5 Sorrel Way")
    page.get_by_role("button", name="Check in and turn the screen: Spanish").click()
    page.locator("#typed").fill("Wren Okafor")
    page.locator("#accept").click()
    page.locator("#resident-back").click()
    if co_pay:
        page.get_by_label("Tumbler").check()
        page.get_by_role("radio", name=co_pay).check()
    page.get_by_role("button", name="Hand out the bin").click()
    expect(page.get_by_text("Handed out:")).to_be_visible()
    all_sent(page)


def all_sent(page: Page) -> None:
    expect(page.locator("#unsent")).to_have_text("0")


def test_a_walk_in_with_waiver_co_pay_and_bin_takes_eight_taps_or_fields(page, api):
    page.evaluate(COUNT)

    walk_in(page, "Cash")

    taps = [tap for tap in page.evaluate("window.taps") if tap not in NAME_AND_ADDRESS]
    assert len(taps) == MOST_BESIDE_NAME_AND_ADDRESS, taps
    assert api.kinds() == ["walked_in", "waiver_accepted", "bin_given"]
    [came], [given] = api.bodies("walked_in"), api.bodies("bin_given")
    assert (came["language"], came["city"], came["zip"], came["party"]) == ("es", "Quillby", "00071", 1)
    assert given.get("person", came["person"]) == came["person"]
    assert given.get("participant", 190) == 190  # the roster may have them by then
    assert given["copay"] == {"how": "cash", "cents": TUMBLER["copay_cents"], "receipt": "", "why": ""}


def test_with_one_free_bin_at_the_table_a_walk_in_takes_six(page, api):
    api.roster["models"] = [MESH]
    page.reload()
    expect(page.locator("#foot_bins")).to_have_text("11")
    page.evaluate(COUNT)

    walk_in(page, None)

    assert len([tap for tap in page.evaluate("window.taps") if tap not in NAME_AND_ADDRESS]) == 6


def test_the_whole_of_a_visit_by_keyboard_alone(page, api):
    press = page.keyboard.press
    tab_to(page, "search")
    page.keyboard.type("k1r")
    press("Enter")
    expect(page.locator("#row-p101")).to_be_focused()
    tab_to(page, "more-p101")
    press("Enter")
    expect(page.locator("#more-p101")).to_be_focused()
    tab_to(page, "check-p101", back=True)
    press("Enter")
    expect(page.locator("#waiver-p101")).to_be_focused()
    tab_to(page, "turn-en-p101")
    press("Enter")
    tab_to(page, "typed")
    page.keyboard.type("Amara Boateng")
    press("Enter")
    expect(page.locator("#resident-heading")).to_be_focused()
    tab_to(page, "resident-back")
    press("Enter")
    expect(page.locator("#bin-p101")).to_be_focused()
    tab_to(page, "model-p101-1")
    press("ArrowDown")
    tab_to(page, "copay-p101-cash")
    press("Space")
    expect(page.locator("#receipt-p101")).to_be_visible()
    tab_to(page, "receipt-p101")
    page.keyboard.type("R-17")
    tab_to(page, "give-p101")
    press("Enter")
    expect(page.locator("#row-p101")).to_be_focused()
    all_sent(page)

    assert api.kinds() == ["arrived", "waiver_accepted", "bin_given"]
    assert next(api.bodies("arrived")) == {"participant": 101, "party": 2}
    given = next(api.bodies("bin_given"))
    assert (given["model"], given["copay"]["receipt"]) == (2, "R-17")


def tab_to(page: Page, element_id: str, back: bool = False) -> None:
    for _press in range(40):
        if page.evaluate("document.activeElement.id") == element_id:
            return
        page.keyboard.press("Shift+Tab" if back else "Tab")
    pytest.fail(f"{element_id} was not reached by keyboard")


def test_an_exception_needs_a_reason_and_a_pass_that_allows_it(window, api):
    page = open_door(window.page, window.base, may_except=True)
    open_row(page, "Philippa Ravensworth")
    page.get_by_role("button", name="Check in 1 person").click()
    page.get_by_label("Mesh bin").check()

    page.get_by_role("button", name="Hand out as an exception").click()

    expect(page.get_by_text("Say why a bin is given all the same.")).to_be_visible()
    expect(page.locator("#reason-p104")).to_be_focused()

    page.locator("#reason-p104").fill("The first one burned")
    page.get_by_role("button", name="Hand out as an exception").click()

    expect(page.get_by_text("Handed out: Mesh bin 110 gal")).to_be_visible()
    all_sent(page)
    assert next(api.bodies("bin_given"))["exception"] == {"reason": "The first one burned"}


def test_what_was_tapped_by_mistake_is_taken_back_in_place_or_from_the_list_of_what_was_done(page, api):
    open_row(page, "Amara Boateng")
    page.get_by_role("button", name="Check in 1 person").click()
    expect(page.locator("#foot_people")).to_have_text("1")

    page.get_by_role("button", name="Undo", exact=True).click()

    expect(page.locator("#foot_people")).to_have_text("0")
    expect(page.get_by_role("button", name="Check in 1 person")).to_be_visible()

    page.get_by_role("button", name="Check in 1 person").click()
    page.get_by_role("button", name="More", exact=True).click()
    page.get_by_role("button", name=re.compile("Undo: Amara Boateng: checked in")).click()

    expect(page.locator("#foot_people")).to_have_text("0")
    all_sent(page)
    assert api.kinds() == ["arrived", "undone", "arrived", "undone"]
    first, back = api.events[api.order[0]], api.events[api.order[1]]
    assert back["body"] == {"event": first["id"]}


def test_headcount_of_people_on_no_list_is_an_event_and_refuses_nonsense(page, api):
    page.get_by_role("button", name="More", exact=True).click()
    for nonsense in ("", "-1", "1.5"):
        page.locator("#headcount").fill(nonsense)
        page.get_by_role("button", name="Note the headcount").click()
        expect(page.get_by_text("Write a whole number from 0 to 5000.")).to_be_visible()

    page.locator("#headcount").fill("6")
    page.get_by_role("button", name="Note the headcount").click()

    expect(page.locator("#foot_people")).to_have_text("6")
    all_sent(page)
    assert list(api.bodies("headcount")) == [{"people": 6}]


def test_what_a_person_types_survives_news_from_the_server(page, api):
    page.get_by_role("button", name="Someone walked in").click()
    page.locator("#walk-in-name").fill("Wren Oka")
    api.roster["people"][0]["place"] = "attended"

    page.evaluate("window.dispatchEvent(new Event('online'))")
    page.wait_for_function(
        "async () => (await (await import('/static/door/keep.js')).everything(7)).roster.people[0].place === 'attended'"
    )

    expect(page.locator("#walk-in-name")).to_have_value("Wren Oka")
    expect(page.locator("#walk-in-name")).to_be_focused()


CAMERA = """([code]) => {
  const canvas = document.createElement("canvas");
  setInterval(() => canvas.getContext("2d").fillRect(0, 0, 9, 9), 50);
  const camera = { getUserMedia: async () => canvas.captureStream(5) };
  Object.defineProperty(navigator, "mediaDevices", { value: camera, configurable: true });
  window.BarcodeDetector = class { async detect() { return [{ rawValue: code }]; } };
}"""


def test_a_scanned_code_opens_its_person_where_the_browser_can_scan(window, page):
    assert page.locator("#scan").count() == 0  # this browser reads no codes, so it offers none

    page.add_init_script(f"({CAMERA})(['https://loambook.example.org/r/K3R'])")
    page.reload()
    expect(page.locator("#row-p103")).to_be_visible()
    page.get_by_role("button", name="Scan a code").click()

    expect(page.locator("#row-p103")).to_have_attribute("aria-expanded", "true")
    expect(page.locator("video")).to_have_count(0)
    assert window.complaints == []


def test_a_camera_that_is_refused_says_what_to_do(page):
    refused = "async () => { throw new DOMException('not allowed'); }"
    page.add_init_script(f"({CAMERA})(['']); navigator.mediaDevices.getUserMedia = {refused}")
    page.reload()

    page.get_by_role("button", name="Scan a code").click()

    expect(page.get_by_text("The camera cannot be used: not allowed. Type the short code")).to_be_visible()
