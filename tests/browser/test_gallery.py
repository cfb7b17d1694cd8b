"""The pieces in a real browser: nothing cut off, nothing that bars anyone, keyboard and print."""

import pytest

from outreach.staff.roles import Role

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SMALL_TARGETS = """() => [...document.querySelectorAll("a, button, input, select, textarea, summary")]
  .filter((e) => e.type !== "hidden" && !e.closest("p, .unseen, .skip"))
  .map((e) => [e.tagName + " " + (e.textContent || e.name).trim(), e.getBoundingClientRect()])
  .filter(([, box]) => box.width > 0 && (box.height < 24 || box.width < 24))
  .map(([name]) => name)"""


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 768, 1280])
def test_no_piece_is_cut_off_or_bars_anyone(look_as, width, scheme):
    window = look_as(Role.COORDINATOR, width=width, scheme=scheme)

    window.open("/gallery/")

    assert window.cut_off() == []
    assert window.serious_barriers() == []
    assert window.complaints == []


@pytest.mark.parametrize("width", [360, 1280])
def test_targets_are_at_least_24_pixels(look_as, width):
    """Source: WCAG 2.2, success criterion 2.5.8 (links within a sentence are excepted)."""
    window = look_as(Role.COORDINATOR, width=width)

    assert window.open("/gallery/").evaluate(SMALL_TARGETS) == []


def test_text_twice_as_large_is_not_cut_off(look_as):
    """Source: WCAG 2.2, success criterion 1.4.4; 1280 px at 200 % is laid out as 640 px."""
    window = look_as(Role.COORDINATOR, width=640)

    window.open("/gallery/")

    assert window.cut_off() == []


def test_the_keyboard_reaches_the_page_first_and_shows_where_it_is(look_as):
    page = look_as(Role.COORDINATOR).open("/gallery/")

    page.keyboard.press("Tab")
    skip = page.locator(":focus")

    assert skip.get_attribute("href") == "#main"
    assert skip.bounding_box()["y"] >= 0
    assert skip.evaluate("e => getComputedStyle(e).outlineWidth") == "3px"

    page.keyboard.press("Enter")

    assert page.evaluate("document.activeElement.id") == "main"


@pytest.mark.parametrize("script", [True, False])
def test_on_a_narrow_screen_the_index_folds_and_opens_without_script(look_as, script):
    page = look_as(Role.COORDINATOR, width=360, script=script).open("/gallery/")
    season = page.get_by_role("navigation", name="Places").get_by_role("link", name="Season")

    assert not season.is_visible()

    page.get_by_text("Menu", exact=True).click()

    assert season.is_visible()


def test_on_a_wide_screen_the_index_is_there_without_opening_anything(look_as):
    page = look_as(Role.COORDINATOR, script=False).open("/gallery/")

    assert page.get_by_role("navigation", name="Places").get_by_role("link", name="Season").is_visible()
    assert not page.get_by_text("Menu", exact=True).is_visible()


def test_on_paper_there_is_no_index_and_the_numbers_of_a_chart_are_shown(look_as):
    page = look_as(Role.COORDINATOR).open("/gallery/")

    page.emulate_media(media="print")

    assert not page.locator(".head").is_visible()
    assert not page.locator(".filters").is_visible()
    assert page.locator(".chart .roll").is_visible()
