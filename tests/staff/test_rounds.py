"""Actions that come round by themselves in the worker."""

import datetime
import logging
import threading

import pytest

from outreach.staff import rounds, working

AT = datetime.datetime(2026, 5, 2, 18, tzinfo=datetime.UTC)
MINUTE = datetime.timedelta(minutes=1)


@pytest.fixture
def done(monkeypatch):
    monkeypatch.setattr(rounds, "_rounds", {})
    return []


def test_a_round_is_done_again_only_after_its_interval(done):
    rounds.every(MINUTE, "sweep", done.append)

    for seconds in (0, 30, 60, 90):
        rounds.run_due(AT + datetime.timedelta(seconds=seconds))

    assert done == [AT, AT + MINUTE]


def test_one_that_fails_is_logged_and_stops_no_other(done, caplog):
    def fail(_at):
        raise RuntimeError("broken")

    rounds.every(MINUTE, "broken", fail)
    rounds.every(MINUTE, "sweep", done.append)

    with caplog.at_level(logging.ERROR):
        rounds.run_due(AT)

    assert done == [AT]
    assert "'broken' failed" in caplog.text


@pytest.mark.django_db(transaction=True)
def test_the_worker_does_what_comes_round(done):
    stop = threading.Event()
    rounds.every(MINUTE, "sweep", lambda at: (done.append(at), stop.set()))

    working.run_until(stop)

    assert len(done) == 1
