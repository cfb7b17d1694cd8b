"""Figures that are kept beside the rows they follow from: comparing them, and making them anew.

An app registers what it keeps in `AppConfig.ready()`:

    checking.register("stays", stays.differing, stays.rebuild_all)
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

Compare = Callable[[], list[str]]
Rebuild = Callable[[], None]


@dataclass(frozen=True, slots=True)
class Kept:
    """Something kept: how to find where it differs from the rows, one line each, and how to mend it."""

    name: str
    compare: Compare
    rebuild: Rebuild


_kept: dict[str, Kept] = {}


def register(name: str, compare: Compare, rebuild: Rebuild) -> None:
    """`compare()` gives one line for each difference, without personal words; `rebuild()` mends all."""
    _kept[name] = Kept(name, compare, rebuild)


def everything() -> Iterator[Kept]:
    """All that is kept, in the order of registration: lower apps first."""
    yield from _kept.values()
