"""The parts of the Door that need no screen, in the browser that runs them: folding, finding, numbering."""

import re
import uuid

import pytest

from tests.browser.door_api import HAD_ONE, WAIVER, roster

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

CALL = """async ([module, name, given]) => {
  const found = await import(`/static/door/${module}.js`);
  return found[name](...given);
}"""
FOLD = """async ([roster, live, rows]) => {
  const { fold } = await import("/static/door/fold.js");
  const { standingOf } = await import("/static/door/standing.js");
  const view = fold({ roster, live, rows });
  const people = Object.fromEntries(
    view.people.map((one) => [one.name, { ...one, standing: standingOf(one, view, roster) }]),
  );
  return { ...view, households: null, people };
}"""
AMARA, PHILIPPA = {"participant": 101}, {"participant": 104}


@pytest.fixture
def page(chromium, live_server):
    page = chromium.new_page()
    page.goto(f"{live_server.url}/door/shell/")
    yield page
    page.close()


@pytest.fixture
def call(page):
    return lambda module, name, *given: page.evaluate(CALL, [module, name, list(given)])


@pytest.fixture
def folded(page):
    def fold(*rows, live=None, **differences):
        return page.evaluate(FOLD, [roster(**differences), live, list(rows)])

    return fold


def row(kind, body, state="unsent", number=1):
    return {
        **{"id": str(uuid.UUID(int=number)), "seq": number, "kind": kind, "body": body, "state": state},
        **{"happened_at": "2026-05-09T17:31:00Z"},
    }


def bin_given(model=1, **person):
    copay = {"how": "none", "cents": 0, "receipt": "", "why": ""}
    return {"handout": "h", "model": model, "copay": copay, "exception": None, **person}


def walked_in(**differences):
    someone = {"person": "w1", "name": "Wren Okafor", "street": "5 Sorrel Way", "unit": ""}
    return {**someone, "city": "Quillby", "zip": "00071", "language": "en", "party": 3, **differences}


def test_what_was_done_here_shows_before_it_is_sent(folded):
    view = folded(
        row("arrived", {**AMARA, "party": 2}), row("bin_given", bin_given(**AMARA), number=2), live=None
    )

    assert view["people"]["Amara Boateng"]["came"]
    assert view["peopleIn"] == 2
    assert view["binsLeft"] == 14
    assert view["unsent"] == 2


@pytest.mark.parametrize("state", ["stored", "settled"])
def test_what_the_server_has_counted_is_not_counted_again(folded, state):
    live = {"people_in": 2, "bins_left": {"1": 10, "2": 4}}
    rows = (
        row("arrived", {**AMARA, "party": 2}, state),
        row("bin_given", bin_given(**AMARA), state, number=2),
    )

    view = folded(*rows, live=live)

    assert (view["peopleIn"], view["binsLeft"], view["unsent"]) == (2, 14, 0)


def test_what_is_held_counts_here_and_is_not_owed(folded):
    view = folded(row("arrived", {**AMARA, "party": 2}, "held"), live={"people_in": 5, "bins_left": {}})

    assert (view["peopleIn"], view["unsent"], view["held"]) == (7, 0, 1)


def test_undoing_before_and_after_sending_ends_the_same(folded):
    given = bin_given(**AMARA)
    back = row("undone", {"event": str(uuid.UUID(int=1))}, number=2)
    live = {"people_in": 0, "bins_left": {"1": 10, "2": 4}}

    before = folded(row("bin_given", given), back, live=None)
    after = folded(row("bin_given", given, "settled"), back, live=live)

    assert before["binsLeft"] == after["binsLeft"] == 15
    assert before["people"]["Amara Boateng"]["given"] == after["people"]["Amara Boateng"]["given"] == []


def test_a_bin_given_here_ends_the_right_to_another_for_the_whole_household(folded):
    differences = roster()
    differences["people"][1]["household"] = differences["people"][0]["household"]

    view = folded(row("bin_given", bin_given(**AMARA)), people=differences["people"])

    assert view["people"]["Bram Oyelaran"]["standing"] == {
        **{"may": False, "key": "bin_here_today", "values": {"model": "Mesh bin 110 gal"}},
    }


def test_the_sentence_of_the_server_is_said_where_nothing_happened_since(folded):
    standing = folded()["people"]["Philippa Ravensworth"]["standing"]

    assert standing == {"may": False, "sentence": HAD_ONE["sentence"]}


@pytest.mark.parametrize(
    ("place", "may", "key"),
    [
        ({"city": "Quillby", "zip": ""}, True, "served_walk_in"),
        ({"city": "", "zip": "00071-2210"}, True, "served_walk_in"),
        ({"city": "Farrow", "zip": "00099"}, False, "elsewhere"),
        ({"city": "", "zip": ""}, True, "unknown_place"),
    ],
)
def test_a_walk_in_is_told_only_what_is_known_without_a_network(folded, place, may, key):
    standing = folded(row("walked_in", walked_in(**place)))["people"]["Wren Okafor"]["standing"]

    assert (standing["may"], standing["key"]) == (may, key)


def test_a_walk_in_at_an_address_of_the_list_stands_as_its_household_does(folded):
    view = folded(row("walked_in", walked_in(street="29 bellweather cres.")))

    assert view["people"]["Wren Okafor"]["standing"]["sentence"] == HAD_ONE["sentence"]


def test_a_walk_in_can_be_followed_by_everything_before_anything_is_sent(folded):
    who = {"person": "w1"}
    accepted = {**who, "version": WAIVER["version"], "language": "en", "typed_name": "Wren Okafor"}

    view = folded(
        row("walked_in", walked_in()),
        row("waiver_accepted", accepted, number=2),
        row("bin_given", bin_given(2, **who), number=3),
        row("headcount", {"people": 4}, number=4),
    )

    wren = view["people"]["Wren Okafor"]
    assert (wren["came"], wren["party"], len(wren["given"])) == (True, 3, 1)
    assert wren["waiver"]
    assert (view["peopleIn"], view["binsLeft"], view["headcount"]) == (7, 14, 4)


def test_a_walk_in_that_the_roster_has_by_now_is_one_person(folded):
    known = {**roster()["people"][0], "participant": 190, "person": "w1", "name": "Wren Okafor"}

    view = folded(
        row("walked_in", walked_in(), "settled"),
        row("bin_given", bin_given(1, person="w1"), number=2),
        people=[known],
    )

    assert list(view["people"]) == ["Wren Okafor"]
    assert len(view["people"]["Wren Okafor"]["given"]) == 1


@pytest.mark.parametrize(
    ("search", "found"),
    [
        ("inigo pena", ["Íñigo Peña"]),
        ("alder", ["Amara Boateng", "Bram Oyelaran"]),
        ("14 ALDER", ["Bram Oyelaran"]),
        ("nandu", ["Íñigo Peña"]),
        ("k4r", ["Philippa Ravensworth"]),
        ("oyel bram", ["Bram Oyelaran"]),
        ("lder", []),
    ],
)
def test_people_are_found_by_name_address_or_code_whatever_the_accents(call, search, found):
    assert [person["name"] for person in call("search", "find", roster()["people"], search)] == found


def test_a_whole_word_is_opened_before_a_longer_one_that_begins_alike(call):
    anna, ann = ({**roster()["people"][0], "name": name, "code": ""} for name in ("Anna Lee", "Lee Ann"))

    assert call("search", "best", [anna, ann], "ann")["name"] == "Lee Ann"
    assert call("search", "best", [anna], "ann")["name"] == "Anna Lee"
    assert call("search", "best", [], "ann") is None


@pytest.mark.parametrize("scanned", ["K2R", "k-2r", "https://loambook.example.org/r/K2R", "x?code=K2R"])
def test_a_scanned_code_is_found_alone_or_at_the_end_of_an_address(call, scanned):
    assert call("search", "byCode", roster()["people"], scanned)["name"] == "Bram Oyelaran"
    assert call("search", "byCode", roster()["people"], f"{scanned}9") is None


def test_numbers_of_events_are_random_uuids_with_and_without_https(page, call):
    """Source: RFC 9562, section 5.4: version 4, variant 10x."""
    form = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
    secure = call("events", "newId")
    page.evaluate("() => Object.defineProperty(crypto, 'randomUUID', { value: undefined })")

    plain = {call("events", "newId") for _ in range(50)}

    assert len(plain) == 50
    assert all(form.fullmatch(one) for one in {secure, *plain})


def test_the_offset_is_measured_at_the_middle_of_the_exchange(call):
    """The same assumption as a time protocol makes (RFC 5905, section 8): both ways take as long."""
    asked = {"serverNow": "2026-05-09T17:30:10.000Z", "askedAt": 1778347800000, "heardAt": 1778347804000}

    assert call("events", "measuredOffset", asked) == 8000
