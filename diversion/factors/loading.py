"""Reading a released factor set from its table. The only file access of the whole package."""

import hashlib
import tomllib
from functools import cache
from importlib import resources
from typing import Any

from diversion.errors import DiversionError
from diversion.factors.factor_set import CollectionPreset, FactorSet
from diversion.factors.published import PublishedFactor, Status

LATEST = "2026-1"


class UnknownFactorSet(DiversionError):
    """No factor set of that name was ever released with this software."""

    def __init__(self, *, name: str, known: tuple[str, ...]) -> None:
        self.name, self.known = name, known
        super().__init__(f"There is no factor set {name!r}. Choose one of: {', '.join(known)}.")


def available() -> tuple[str, ...]:
    """Names of the released factor sets, oldest first."""
    tables = resources.files("diversion.factors").iterdir()
    return tuple(sorted(table.name.removesuffix(".toml") for table in tables if table.name.endswith(".toml")))


def load(name: str = LATEST) -> FactorSet:
    """Read a released factor set.

    Parameters
    ----------
    name : str
        One of `available()`.

    Returns
    -------
    FactorSet
        With the sha256 of the table's bytes as its digest.

    Raises
    ------
    UnknownFactorSet
        If no set has that name.
    """
    if name not in available():
        raise UnknownFactorSet(name=name, known=available())
    return _load(name)


@cache
def _load(name: str) -> FactorSet:
    content = resources.files("diversion.factors").joinpath(f"{name}.toml").read_bytes()
    # A checkout on Windows may have turned the line ends; the digest is of the numbers as released.
    return read_factor_set(content.replace(b"\r\n", b"\n"))


def read_factor_set(content: bytes) -> FactorSet:
    """Build a factor set from the bytes of its TOML table; the digest is their sha256."""
    table = tomllib.loads(content.decode())
    return FactorSet(
        name=table["name"],
        released_on=table["released_on"],
        digest=hashlib.sha256(content).hexdigest(),
        factors=tuple(_factor(entry, table["sources"]) for entry in table["factor"]),
        collection=tuple(_preset(entry) for entry in table["collection"]),
    )


def _factor(entry: dict[str, Any], sources: dict[str, dict[str, Any]]) -> PublishedFactor:
    source = sources[entry["source"]]
    status = Status(entry["status"])
    return PublishedFactor(
        key=entry["key"],
        meaning=entry["meaning"],
        value=float(entry["value"]),
        low=float(entry.get("low", entry["value"])),
        high=float(entry.get("high", entry["value"])),
        unit=entry["unit"],
        source=source["title"],
        locator=entry["locator"],
        year=source["year"],
        status=status,
        range_status=Status(entry.get("range_status", status)),
        note=entry.get("note", ""),
    )


def _preset(entry: dict[str, Any]) -> CollectionPreset:
    return CollectionPreset(
        name=entry["name"],
        meaning=entry["meaning"],
        phases=tuple((float(start), float(end), float(caught)) for start, end, caught in entry["phases"]),
        status=Status(entry["status"]),
        note=entry["note"],
    )
