"""Long lists of keys in pieces that every database takes in one query."""

from collections.abc import Iterator, Sequence
from typing import TypeVar

T = TypeVar("T")
# SQLite builds differ in how many parameters they take; 32,766 is the usual least.
CHUNK = 5_000


def in_chunks(items: Sequence[T], size: int = CHUNK) -> Iterator[Sequence[T]]:
    """The list in pieces of at most `size`, in order."""
    for start in range(0, len(items), size):
        yield items[start : start + size]
