"""Every address of ours says who may come in, and everybody else is turned away."""

import re

import pytest
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver, reverse
from django.urls.resolvers import RegexPattern

from outreach.staff.roles import Role
from tests.factories.staff import make_member

# Whoever has not signed in may see these and nothing else.
PUBLIC = {
    "sign_in",
    "recipe",
    "bin_advice",
    "unsubscribe",
    "consent",
    "my_answer",
    "my_answer_more",
    "my_answer_kept",
    "diagnosis",
    "ask_for_help",
    "help_asked",
    "help_outcome",
    "sheet",
    "sheet_print",
    "public_workshops",
    "public_workshop",
    "public_calendar",
    "workshop_calendar",
    "sign_up",
    "my_booking",
    "my_booking_step",
    "my_booking_change",
    "my_offer",
    "staff_calendar",
    "door_start",
    "door_app",
    "door_shell",
    "door_words",
    "door_worker",
    "door_manifest",
}
SAMPLES = {
    "int": 1,
    "string": "one",
    "slug": "one",
    "uuid": "00000000-0000-4000-8000-000000000001",
    "path": "one",
}


def patterns(resolver=None):
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLResolver):
            yield from patterns(entry)
        elif isinstance(entry, URLPattern):
            yield entry


OURS = [pattern for pattern in patterns() if pattern.name not in PUBLIC]
PAGES = [pattern for pattern in OURS if not hasattr(pattern.callback, "cls")]
READ_BY_MACHINES = [pattern for pattern in OURS if hasattr(pattern.callback, "cls")]
BARRED = [
    (pattern, role)
    for pattern in PAGES
    for role in Role
    if role not in getattr(pattern.callback, "allowed_roles", ())
]


def samples(route):
    """A value for each place of a route, whether written with converters or as a regular expression."""
    if isinstance(route, RegexPattern):
        places = re.findall(r"\(\?P<(\w+)>([^)]*)\)", route._regex)
        return {name: "1" if body.startswith(r"\d") else body.split("|")[0] for name, body in places}
    kinds = {name: type(c).__name__.removesuffix("Converter").lower() for name, c in route.converters.items()}
    return {name: SAMPLES[kind] for name, kind in kinds.items()}


def sample_address(pattern):
    return reverse(pattern.name, kwargs=samples(pattern.pattern))


@pytest.fixture(scope="module")
def clients(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock():
        made = {role: make_member(role=role) for role in Role}
        signed_in = {}
        for role, member in made.items():
            signed_in[role] = Client(raise_request_exception=False)
            signed_in[role].force_login(member, backend="outreach.staff.signing_in.CurrentStaffBackend")
        yield signed_in
        from django.db import connection

        with connection.cursor() as cursor:
            cursor.execute("DELETE FROM django_session")
            cursor.execute("DELETE FROM staff_auditentry")
            cursor.execute("DELETE FROM staff_staffmember")


@pytest.mark.parametrize("pattern", OURS, ids=lambda p: str(p.name))
def test_every_address_has_a_name(pattern):
    assert pattern.name


@pytest.mark.parametrize("pattern", PAGES, ids=lambda p: str(p.name))
def test_every_page_says_who_may(pattern):
    roles = getattr(pattern.callback, "allowed_roles", None)

    assert roles, f"Say who may with @may(…) on the view of {pattern.name}."
    assert set(roles) <= set(Role)


@pytest.mark.parametrize("pattern", READ_BY_MACHINES, ids=lambda p: str(p.name))
def test_every_view_of_the_api_says_who_may(pattern):
    chosen = getattr(pattern.callback.cls, "permission_classes", [])

    assert [c for c in chosen if c.__module__.startswith("outreach.")], "Give permission_classes of ours."


@pytest.mark.parametrize(("pattern", "role"), BARRED, ids=lambda x: str(getattr(x, "name", x)))
def test_a_role_that_is_not_named_is_turned_away(db, clients, pattern, role):
    address = sample_address(pattern)
    answer = clients[role].get(address)
    if answer.status_code == 405:
        answer = clients[role].post(address)

    assert answer.status_code == 403


@pytest.mark.parametrize("pattern", OURS, ids=lambda p: str(p.name))
def test_strangers_are_sent_to_sign_in(db, client, pattern):
    answer = client.get(sample_address(pattern))

    assert answer.status_code in (302, 401, 403)
    assert answer.status_code != 302 or answer.url.startswith(reverse("sign_in"))


def test_the_refusal_is_a_page_in_words(db, clients):
    answer = clients[Role.DOOR_CREW].get(reverse("staff_list"))

    assert answer.status_code == 403
    assert "Ask an administrator" in answer.content.decode()
