"""Someone new to it is asked: how many households in district 3, how many tonnes, how sure, where from?

From the first page it takes seven steps, of which the sixth shows the first three answers and the seventh leads to
the working behind them. Common practice, no source: a step that is looked for takes under fifteen seconds, so the
whole is done in under two minutes.
"""

import re

import pytest
from playwright.sync_api import Page, expect

from outreach.staff.roles import Role
from tests.filings.programmes import programme
from tests.filings.test_district_question import put_in_districts
from tests.filings.test_submitting import submit

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]
MOST_STEPS, SECONDS_A_STEP, SECONDS = 7, 15, 120


class Walk:
    """Steps through the screens as a person takes them, counted; each waits for what it leads to."""

    def __init__(self, page: Page) -> None:
        self.page, self.steps = page, 0

    def follow(self, words: str, *, to: str) -> None:
        self.page.get_by_role("link", name=words, exact=True).first.click()
        expect(self.page.get_by_role("heading", name=to, level=1)).to_be_visible()
        self.steps += 1

    def choose(self, label: str, words: str) -> None:
        self.page.get_by_label(label).select_option(label=words)
        self.steps += 1

    def press(self, words: str, *, shows: str) -> None:
        self.page.get_by_role("button", name=words).click()
        expect(self.page.get_by_role("heading", name=shows)).to_be_visible()
        self.steps += 1


def test_seven_steps_from_the_first_page_answer_all_four(look_as):
    place = programme(households=30, answers=24)
    names = [str(one) for one in put_in_districts(place, 10, 8, 12)]
    filing = submit(place)
    walk = Walk(look_as(Role.CITY_ANALYST).open("/"))

    walk.follow("Filings", to="Filings")
    walk.follow("A district's figures", to="A district's figures")
    walk.choose("District", names[2])
    walk.choose("From quarter", "2025-Q2")
    walk.choose("To quarter", "2025-Q2")
    walk.press("Show the figures", shows=f"{names[2]}, 2025-Q2")
    said = walk.page.locator("#figures").inner_text()
    walk.follow("its working, step by step", to="Working")

    (part,) = [
        one
        for one in filing.report["account"]["period"]["parts"]
        if (one["dimension"], one["code"]) == ("district", "Quillby/District 3")
    ]
    (kept,) = [
        one for one in part["figures"] if (one["measure"], one["stream"]) == ("landfill_bound", "both")
    ]
    assert f"{part['households']} households had a bin in use" in said
    assert f"an estimated {kept['headline']:.2f} tonnes" in said
    assert re.search(r"90 % interval of [\d.]+ to [\d.]+", said)
    assert f"Where from: {part['answers']} answer" in said
    assert walk.steps <= MOST_STEPS
    assert walk.steps * SECONDS_A_STEP < SECONDS
