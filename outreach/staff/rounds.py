"""What comes round by itself: small actions that any worker does every so often, and that may be done twice.

An app lists its own in `AppConfig.ready()`:

    rounds.every(timedelta(minutes=1), "workshops due", due.settle_due)

Each process keeps to itself when it last did one, so two workers do it twice as often: an action looks at
what is there and comes to the same end. One that fails is logged, and tried again the next time round.
"""

import logging
from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db import DatabaseError

log = logging.getLogger(__name__)


@dataclass(slots=True)
class Round:
    """One action, how often it comes round, and when this process last did it."""

    name: str
    interval: timedelta
    act: Callable[[datetime], object]
    last_at: datetime | None = None

    def is_due(self, at: datetime) -> bool:
        return self.last_at is None or at >= self.last_at + self.interval


_rounds: dict[str, Round] = {}


def every(interval: timedelta, name: str, act: Callable[[datetime], object]) -> None:
    """Do this every so often, with the instant of the round; the same name again replaces it."""
    _rounds[name] = Round(name=name, interval=interval, act=act)


def run_due(at: datetime, *, but: Collection[str] = ()) -> list[str]:
    """Do whatever has come round, `but` these; return the names. Only a database that is away stops it."""
    done = []
    for one in _rounds.values():
        if one.name in but or not one.is_due(at):
            continue
        one.last_at = at
        try:
            one.act(at)
        except DatabaseError:
            raise
        except Exception:
            log.exception("The round %r failed; it is tried again in %s.", one.name, one.interval)
        done.append(one.name)
    return done
