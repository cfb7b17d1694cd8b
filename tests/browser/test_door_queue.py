"""What the device owes the server: kept, sent in order, once; and what it forgets, and when."""

import pytest
from playwright.sync_api import Page, expect

from tests.browser.door_api import WORKSHOP, DoorApi, in_hours, open_door

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

KEPT = """async () => {
  const keep = await import("/static/door/keep.js");
  const { opening, roster, rows } = await keep.everything(7);
  return { opening, roster: Boolean(roster), rows: rows.map((one) => [one.seq, one.kind, one.state]) };
}"""
ACT = """async ([kind, bodies]) => {
  const keep = await import("/static/door/keep.js");
  const { makeEvent } = await import("/static/door/events.js");
  const made = (body) => keep.record(7, (opening, seq) => makeEvent({ opening, seq, kind, body, now: Date.now() }));
  return (await Promise.all(bodies.map(made))).map((event) => event.seq);
}"""
DATABASES = "async () => (await indexedDB.databases()).map((one) => one.name)"


@pytest.fixture
def api():
    return DoorApi()


@pytest.fixture
def device(chromium, api):
    context = chromium.new_context(viewport={"width": 360, "height": 760}, service_workers="block")
    api.answer_in(context)
    yield context
    context.close()


@pytest.fixture
def door(device, live_server):
    page = device.new_page()
    page.set_default_timeout(15_000)
    open_door(page, live_server.url)
    expect(page.get_by_role("button", name="Amara Boateng")).to_be_visible()
    return page


def check_in(page: Page, name: str) -> None:
    page.get_by_label("Name, address or code").fill(name)
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Check in 1 person").click()
    expect(page.get_by_role("status").first).to_contain_text("is checked in")


def unsent(page: Page, count: int) -> None:
    expect(page.locator("#unsent")).to_have_text(str(count))


def test_events_carry_what_the_server_needs_to_order_them(door, api):
    api.behind_ms = 90_000
    door.reload()
    expect(door.locator("#connection")).to_contain_text("Connected")

    check_in(door, "Amara")
    unsent(door, 0)

    [event] = api.events.values()
    assert set(event) == {"id", "seq", "schema", "kind", "workshop", "happened_at", "offset_ms", "by", "body"}
    assert (event["seq"], event["schema"], event["workshop"]) == (1, 1, WORKSHOP)
    assert event["by"] == "Fern Adeyemi"
    assert event["body"] == {"participant": 101, "party": 1}
    assert -95_000 < event["offset_ms"] < -85_000


def test_without_a_network_everything_waits_and_then_goes_in_order(door, api):
    unsent(door, 0)
    api.is_down = True
    for name in ("Amara", "Bram", "Philippa"):
        check_in(door, name)
    unsent(door, 3)
    expect(door.locator("#connection")).to_contain_text("No connection")
    door.reload()
    unsent(door, 3)

    api.is_down = False
    door.evaluate("window.dispatchEvent(new Event('online'))")

    unsent(door, 0)
    assert [event["seq"] for event in api.events.values()] == [1, 2, 3]
    assert [body["participant"] for body in api.bodies("arrived")] == [101, 102, 104]


def test_an_answer_that_got_lost_is_asked_for_again_and_nothing_counts_twice(door, api):
    unsent(door, 0)
    api.loses_answers = True
    with door.expect_request("**/api/door/events"):
        check_in(door, "Amara")
    unsent(door, 1)

    api.loses_answers = False

    unsent(door, 0)  # by itself, after a pause
    assert api.asked.count("events") >= 2
    assert api.kinds() == ["arrived"]
    expect(door.locator("#foot_people")).to_have_text("1")


def test_only_what_the_server_named_is_let_go(door, api):
    unsent(door, 0)
    api._events = lambda route: (200, {"server_now": api._now(), "answers": {}, "live": api._live()})

    check_in(door, "Amara")

    expect(door.locator("#connection")).to_contain_text("error")
    unsent(door, 1)
    assert door.evaluate(KEPT)["rows"] == [[1, "arrived", "unsent"]]


def test_a_tab_closed_in_the_middle_of_sending_loses_nothing(door, api, device, live_server):
    unsent(door, 0)
    door.route("**/api/door/events", lambda route: None)  # never answered
    check_in(door, "Amara")
    door.close()

    again = device.new_page()
    again.goto(f"{live_server.url}/door/{WORKSHOP}/")

    unsent(again, 0)
    assert api.kinds() == ["arrived"]


def test_two_tabs_share_one_queue_and_number_it_once(door, api, device):
    other = device.new_page()
    other.goto(door.url)
    unsent(door, 0)
    unsent(other, 0)
    api.is_down = True

    bodies = [{"participant": 101, "party": 1}] * 10
    numbers = [*door.evaluate(ACT, ["arrived", bodies]), *other.evaluate(ACT, ["arrived", bodies])]
    api.is_down = False
    for page in (door, other):
        page.evaluate("window.dispatchEvent(new Event('online'))")

    unsent(door, 0)
    unsent(other, 0)
    assert sorted(numbers) == list(range(1, 21))
    assert [event["seq"] for event in api.events.values()] == list(range(1, 21))


def test_one_tab_shows_what_another_did(door, device):
    other = device.new_page()
    other.goto(door.url)
    expect(other.locator("#foot_people")).to_have_text("0")

    check_in(door, "Amara")

    expect(other.locator("#foot_people")).to_have_text("1")


def test_what_is_held_is_said_and_asked_for_until_it_is_released(door, api):
    unsent(door, 0)
    api.holds = True
    check_in(door, "Amara")
    expect(door.get_by_text("1 action waits for the office")).to_be_visible()
    unsent(door, 0)

    api.holds = False
    door.reload()

    expect(door.get_by_text("waits for the office")).to_have_count(0)
    expect(door.locator("#foot_people")).to_have_text("1")
    assert api.kinds() == ["arrived"]


def test_a_revoked_device_loses_its_roster_and_still_delivers(door, api):
    unsent(door, 0)
    api.is_down = True
    check_in(door, "Amara")
    unsent(door, 1)
    api.ended = "This pass was ended by the coordinator."
    api.is_down, events = False, api._events
    api._events = lambda route: (503, None)
    door.evaluate("window.dispatchEvent(new Event('online'))")
    expect(door.locator("#connection")).to_contain_text("503")
    api._events = events

    door.reload()

    expect(door.get_by_text("nothing about residents is left")).to_be_visible()
    assert api.kinds() == ["arrived"]
    assert door.evaluate(KEPT) == {"opening": None, "roster": False, "rows": []}


def test_an_ended_pass_takes_the_roster_away_without_a_network_but_not_what_is_owed(door, api):
    unsent(door, 0)
    api.is_down = True
    check_in(door, "Amara")
    door.evaluate(
        "async (at) => (await import('/static/door/keep.js')).changeOpening(7, { expires_at: at })",
        in_hours(-0.1),
    )

    door.reload()

    expect(door.get_by_text("1 action is not sent yet. It stays here")).to_be_visible()
    expect(door.get_by_text("Bram Oyelaran")).to_have_count(0)
    kept = door.evaluate(KEPT)
    assert (kept["roster"], kept["rows"]) == (False, [[1, "arrived", "unsent"]])


def test_an_unknown_device_keeps_what_it_owes_until_it_is_let_in_again(door, api, live_server):
    unsent(door, 0)
    api.is_down = True
    check_in(door, "Amara")
    api.is_down, api.unknown = False, True
    door.reload()
    expect(door.get_by_text("The server does not know this device").first).to_be_visible()

    api.unknown = False
    door.goto(f"{live_server.url}/door/?pass=FERN-2Q")
    door.get_by_label("Your name").fill("Fern Adeyemi")
    door.locator("#pass-form button").click()

    unsent(door, 0)
    assert [event["seq"] for event in api.events.values()] == [1]
    assert door.evaluate(KEPT)["opening"]["next_seq"] == 2


def test_finishing_is_refused_while_anything_is_unsent(door, api):
    unsent(door, 0)
    api.is_down = True
    check_in(door, "Amara")

    door.get_by_role("button", name="More", exact=True).click()
    door.get_by_role("button", name="Finish on this device").click()

    expect(door.get_by_text("1 action is not sent yet, so nothing was taken off")).to_be_visible()
    assert door.evaluate(KEPT)["roster"]
    assert "goodbye" not in api.asked


def test_finishing_takes_everything_off_the_device_and_other_tabs_see_it(door, api, device):
    other = device.new_page()
    other.goto(door.url)
    check_in(door, "Amara")
    unsent(door, 0)

    door.get_by_role("button", name="More", exact=True).click()
    door.get_by_role("button", name="Finish on this device").click()

    expect(door.get_by_text("Nothing about residents is left")).to_be_visible()
    assert "goodbye" in api.asked
    expect(other.get_by_text("has finished with it")).to_be_visible()
    assert door.evaluate(KEPT) == {"opening": None, "roster": False, "rows": []}
    assert "Amara" not in door.content() + other.content()


def test_what_a_full_device_could_not_keep_is_said_at_once(door):
    unsent(door, 0)
    door.evaluate(
        """() => { IDBObjectStore.prototype.add = () => { throw new DOMException("no room", "Quota"); } }"""
    )

    door.get_by_role("button", name="Amara Boateng").click()
    door.get_by_role("button", name="Check in 1 person").click()

    expect(
        door.get_by_text("This could not be kept on the device: no room. Write it on paper")
    ).to_be_visible()
    unsent(door, 0)


def test_contact_data_of_a_walk_in_leaves_the_device_once_the_roster_has_them(door, api):
    door.get_by_role("button", name="Someone walked in").click()
    for label, words in (("Name", "Wren Okafor"), ("Street address", "5 Sorrel Way")):
        door.get_by_label(label, exact=True).fill(words)
    door.get_by_text("Unit, e-mail, phone").click()
    door.get_by_label("E-mail").fill("wren@example.org")
    door.get_by_role("button", name="Check in and turn the screen: English").click()
    door.get_by_role("button", name="Back to the crew").click()
    unsent(door, 0)

    rows = "async () => JSON.stringify((await (await import('/static/door/keep.js')).everything(7)).rows)"
    expect(door.locator("#connection")).to_contain_text("Connected")
    door.wait_for_function(f"async () => (await ({rows})()).includes('settled')")

    assert next(api.bodies("walked_in"))["email"] == "wren@example.org"
    assert "wren@example.org" not in door.evaluate(rows)
