"""Chromium as Debian ships it, a page signed in as any role, and what a look at a page must not find."""

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.test import Client
from playwright.sync_api import Browser, Page, expect, sync_playwright

from outreach.staff.roles import Role
from tests.factories.staff import make_member

# Playwright keeps an event loop in this thread; the ORM calls of a test are still made one by one.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")
# A busy machine is slow, not wrong.
expect.set_options(timeout=30_000)

CUT_OFF = """() => {
  const width = document.documentElement.clientWidth;
  return [...document.querySelectorAll("body *")]
    .filter((e) => !e.closest(".unseen, .skip, .picture, .roll thead, pre"))
    .filter((e) => e.getBoundingClientRect().width > 1 && e.getBoundingClientRect().right > width + 1)
    .map((e) => e.tagName + "." + e.className);
}"""


@dataclass
class Look:
    """One page in Chromium, with what its console complained of."""

    page: Page
    base: str
    complaints: list[str] = field(default_factory=list)

    def open(self, address: str) -> Page:
        self.page.goto(self.base + address)
        return self.page

    def cut_off(self) -> list[str]:
        """What reaches beyond the right edge of the window."""
        return self.page.evaluate(CUT_OFF)

    def serious_barriers(self, but: tuple[str, ...] = ()) -> list[str]:
        """What axe calls serious or critical, with the element it means; `but` are rules not to be asked."""
        if not self.page.evaluate("'axe' in window"):
            self.page.evaluate(Axe().axe_script)
        options = {"resultTypes": ["violations"], "rules": {rule: {"enabled": False} for rule in but}}
        found = self.page.evaluate("options => axe.run(options)", options)["violations"]
        return [
            f"{barrier['id']}: {barrier['nodes'][0]['html']}"
            for barrier in found
            if barrier["impact"] in {"serious", "critical"}
        ]


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    where = shutil.which("chromium") or shutil.which("chromium-browser")
    if where is None and os.environ.get("CI"):
        pytest.fail("Chromium is not installed, and here the browser tests are not skipped.")
    if where is None:
        pytest.skip("Chromium is not installed; on Debian: apt-get install chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=where,
            args=["--no-sandbox", "--disable-gpu", "--disable-background-networking"],
        )
        yield browser
        browser.close()


@pytest.fixture
def look_as(chromium, live_server) -> Iterator[Callable[..., Look]]:
    """Return a function that opens a window signed in as a role: look_as(role, width=360, scheme='dark')."""
    contexts = []

    def look(role: Role, width: int = 1280, scheme: str = "light", script: bool = True) -> Look:
        client = Client()
        client.force_login(make_member(role=role), backend="outreach.staff.signing_in.CurrentStaffBackend")
        context = chromium.new_context(
            viewport={"width": width, "height": 800}, color_scheme=scheme, java_script_enabled=script
        )
        contexts.append(context)
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        context.add_cookies(
            [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
        )
        seen = Look(page=context.new_page(), base=live_server.url)
        seen.page.on("console", lambda said: said.type == "error" and seen.complaints.append(said.text))
        seen.page.on("pageerror", lambda error: seen.complaints.append(str(error)))
        return seen

    yield look
    for context in contexts:
        context.close()
