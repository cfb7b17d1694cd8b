"""Buttons of a higher app on a lower page, and links that only those get who may follow them."""

import pytest
from django.urls import reverse

from outreach.staff import shortcuts
from outreach.staff.roles import Role, admits


@pytest.mark.django_db
@pytest.mark.parametrize("page", ["workshops", "followup"])
@pytest.mark.parametrize(("role", "is_shown"), [(Role.COORDINATOR, True), (Role.CITY_ANALYST, False)])
def test_the_office_takes_paperwork_in_from_where_it_works(as_role, page, role, is_shown):
    html = as_role(role).get(reverse(page)).content.decode()

    assert ("Take in paperwork" in html) == is_shown


def test_registered_again_a_button_stands_once(monkeypatch):
    monkeypatch.setattr(shortcuts, "_shortcuts", {})

    for words in ("Bring it in", "Take it in"):
        shortcuts.register("workshops", words, "intake")

    assert [one.words for one in shortcuts.shown_on("workshops", Role.COORDINATOR)] == ["Take it in"]


@pytest.mark.django_db
@pytest.mark.parametrize("page", ["season", "filings"])
@pytest.mark.parametrize(
    ("role", "is_shown"), [(Role.AUDITOR, True), (Role.ADMINISTRATOR, True), (Role.CITY_ANALYST, False)]
)
def test_the_audit_trail_is_reached_by_those_who_may_read_it(as_role, page, role, is_shown):
    html = as_role(role).get(reverse(page)).content.decode()

    assert (reverse("audit_trail") in html) == is_shown


def test_an_address_admits_the_roles_of_its_page_whatever_its_query():
    assert admits("/filings/?page=2", Role.AUDITOR)
    assert not admits("/filings/?page=2", Role.DOOR_CREW)
    assert not admits("/filings/", None)
