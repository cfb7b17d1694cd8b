"""The index of places shows a person what their role admits, and where they are."""

import pytest

from outreach.staff.roles import Role

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("role", list(Role))
def test_everyone_who_signs_in_can_open_the_season_and_the_gallery(as_role, role):
    client = as_role(role)

    assert client.get("/").status_code == 200
    assert client.get("/gallery/").status_code == 200


def test_the_place_where_one_is_is_marked(as_coordinator):
    html = as_coordinator.get("/").content.decode()

    assert 'href="/" aria-current="page"' in html


@pytest.mark.parametrize("role", list(Role))
def test_every_place_in_the_index_opens_for_the_role_that_sees_it(as_role, role):
    client = as_role(role)
    shown = client.get("/gallery/").context["places"]

    assert [str(place.word) for place in shown if client.get(place.url).status_code != 200] == []


def test_a_page_that_does_not_exist_says_what_to_do(as_coordinator):
    answer = as_coordinator.get("/no-such-place/")

    assert answer.status_code == 404
    assert "Back to Season" in answer.content.decode()
