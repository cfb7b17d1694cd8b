"""What every test may ask for: people of each role, and no network beyond this machine."""

import itertools
import os

import pytest
from django.db import connection, connections
from django.test import Client, TransactionTestCase

from outreach.staff import guard
from outreach.staff.roles import Role
from tests import migrated
from tests.factories.staff import make_member
from tests.other_databases import postgres_environment, sqlite_environment  # noqa: F401


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--all", action="store_true", help="also the slow repetitions and the benchmarks")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what takes minutes, unless it is asked for.

    The last look before a change lands takes the slow ones with the rest, and the benchmarks on their own, since a
    ratio measured beside other tests says nothing.
    """
    if config.getoption("--all") or config.option.markexpr:
        return
    for item in items:
        for left_out in ("benchmark",) if os.environ.get("CI") else ("slow", "benchmark"):
            if item.get_closest_marker(left_out):
                item.add_marker(pytest.mark.skip(reason=f"{left_out}: run with --all"))


def pytest_runtest_setup() -> None:
    from pytest_socket import socket_allow_hosts

    socket_allow_hosts(["127.0.0.1", "::1", "localhost"], allow_unix_socket=True)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings, tmp_path_factory):
    """On SQLite tests run on a file, as the site does: threads and processes see the same locks."""
    if connection.vendor == "sqlite":
        path = tmp_path_factory.mktemp("database") / "test.sqlite3"
        migrated.copy_to(path)
        connection.settings_dict["TEST"]["NAME"] = str(path)
        connection.settings_dict["OPTIONS"]["init_command"] = (
            "PRAGMA journal_mode=WAL; PRAGMA synchronous=OFF;"
        )


@pytest.fixture(scope="session")
def django_db_keepdb(django_db_keepdb):
    """The copied file is not thrown away again for an empty one."""
    return django_db_keepdb or connection.vendor == "sqlite"


@pytest.fixture(scope="session")
def django_db_setup(django_db_setup, django_db_blocker):
    """Keep what the migrations made, before a test writes to it."""
    if connection.vendor == "sqlite":
        migrated.keep(connection.settings_dict["NAME"])
    yield
    with django_db_blocker.unblock():
        connections.close_all()


@pytest.fixture(autouse=True, scope="session")
def flush_between_tests_lifts_the_guard():
    """Transactional tests empty the tables afterwards, which the append-only guard rightly refuses."""
    flush = TransactionTestCase._fixture_teardown

    def lift_and_flush(self):
        with guard.lifted():
            flush(self)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(TransactionTestCase, "_fixture_teardown", lift_and_flush)
        yield


@pytest.fixture
def as_role(db):
    """Return a client signed in as a fresh person of the given role."""

    def sign_in(role: Role) -> Client:
        client = Client()
        client.force_login(make_member(role=role), backend="outreach.staff.signing_in.CurrentStaffBackend")
        return client

    return sign_in


@pytest.fixture
def coordinator(db):
    return make_member(role=Role.COORDINATOR)


@pytest.fixture
def as_coordinator(coordinator):
    client = Client()
    client.force_login(coordinator, backend="outreach.staff.signing_in.CurrentStaffBackend")
    return client


@pytest.fixture
def counter():
    return itertools.count(1)
