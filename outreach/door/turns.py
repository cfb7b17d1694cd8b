"""Writers of one process take turns, where the database has one writer at a time.

SQLite lets whoever waits for its lock look again after a pause, in no order, so that of four tablets one may
starve while it sleeps. Here the next in line is woken at once. Other databases need no turns.
"""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection

_turn = threading.Lock()


@contextmanager
def in_turn() -> Iterator[None]:
    """Wait for one's turn before a short transaction; inside another transaction the turn is taken already."""
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        yield
        return
    with _turn:
        yield
