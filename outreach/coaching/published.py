"""The numbers and sentences of published.toml, read once and checked as they are read.

Pure Python: no Django, no clock. Sentences are English; the pages translate them.
"""

import math
import tomllib
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from diversion.errors import DiversionError
from diversion.factors.published import Status

MOST_CARBON_PERCENT = 66  # dry plant matter holds about half; Cornell's newsprint, the highest seen, 62.5


class BadEntry(DiversionError):
    """An entry of the table contradicts itself, so published.toml must be corrected before use."""

    def __init__(self, *, entry: str, reason: str) -> None:
        self.entry, self.reason = entry, reason
        super().__init__(f"'{entry}' {reason}. Correct outreach/coaching/published.toml.")


class Kind(StrEnum):
    """Whether a feedstock brings the nitrogen and water, or the carbon and air."""

    GREEN = "green"
    BROWN = "brown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A number we did not measure: low <= typical <= high, not negative, with where each is from.

    Parameters
    ----------
    low, typical, high : float
        In `unit`. All alike: no range is known.
    unit : str
    source, range_source : str
        Of the typical value, and of the range where that is another.
    status, range_status : Status
        How far each was checked.
    """

    low: float
    typical: float
    high: float
    unit: str
    source: str
    status: Status
    range_source: str
    range_status: Status

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.low, self.typical, self.high))) or self.low < 0:
            raise BadEntry(entry=self.unit, reason="is not a finite number from 0 up")
        if not self.low <= self.typical <= self.high:
            raise BadEntry(
                entry=self.unit, reason=f"has {self.low}, {self.typical}, {self.high} out of order"
            )
        if not (self.unit and self.source and self.range_source):
            raise BadEntry(entry=self.unit, reason="lacks a unit or a source")


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """A rule in a sentence; `most` is the largest share of the volume, where the rule names one."""

    sentence: str
    source: str
    status: Status
    most: float | None = None

    def __post_init__(self) -> None:
        if not (self.sentence and self.source):
            raise BadEntry(entry=self.sentence, reason="lacks a sentence or a source")
        if self.most is not None and not 0 < self.most < 1:
            raise BadEntry(entry=self.sentence, reason=f"allows a share of {self.most}, not between 0 and 1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Feedstock:
    """Something that goes into a bin.

    Parameters
    ----------
    key, name : str
    kind : Kind
    nitrogen_percent : Known
        Nitrogen in the dry matter. [% of dry mass]
    carbon_to_nitrogen : Known
        Mass of carbon to one of nitrogen. [1]
    moisture_percent : Known
        Water. [% of wet mass]
    kg_per_litre : Known
        As people fill a container, wet. [kg/L]
    limit : Saying or None
        What to watch for.
    """

    key: str
    name: str
    kind: Kind
    nitrogen_percent: Known
    carbon_to_nitrogen: Known
    moisture_percent: Known
    kg_per_litre: Known
    limit: Saying | None = None

    def __post_init__(self) -> None:
        if self.carbon_percent > MOST_CARBON_PERCENT:
            raise BadEntry(entry=self.key, reason=f"would be {self.carbon_percent:.0f} % carbon when dry")
        if self.moisture_percent.high >= 100 or self.kg_per_litre.low <= 0 or self.nitrogen_percent.low <= 0:
            raise BadEntry(entry=self.key, reason="has no dry matter, no weight or no nitrogen")

    @property
    def carbon_percent(self) -> float:
        """Carbon in the dry matter: %N × C:N, as Cornell's page on C:N says. [% of dry mass]"""
        return self.nitrogen_percent.typical * self.carbon_to_nitrogen.typical


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """All of published.toml."""

    feedstocks: dict[str, Feedstock]
    guidance: dict[str, Known]
    little_or_none: tuple[Saying, ...]
    left_out: tuple[Saying, ...]

    def of_kind(self, kind: Kind) -> tuple[Feedstock, ...]:
        """The feedstocks of that kind, in the order of the table."""
        return tuple(one for one in self.feedstocks.values() if one.kind is kind)


@cache
def published() -> Published:
    """The table, read once. Raises `BadEntry` where it contradicts itself."""
    table = tomllib.loads(files(__package__).joinpath("published.toml").read_text(encoding="utf-8"))
    sources = table["sources"]
    return Published(
        feedstocks={key: _feedstock(key, raw, sources) for key, raw in table["feedstock"].items()},
        guidance={key: _known(raw, raw["unit"], sources) for key, raw in table["guidance"].items()},
        little_or_none=tuple(_saying(raw, sources) for raw in table["little_or_none"]),
        left_out=tuple(_saying(raw, sources) for raw in table["left_out"]),
    )


UNITS = {
    "nitrogen_percent": "% of the dry matter",
    "carbon_to_nitrogen": "parts of carbon to one of nitrogen",
    "moisture_percent": "% of the weight",
    "kg_per_litre": "kg/L",
}


def _feedstock(key: str, raw: dict[str, Any], sources: dict[str, str]) -> Feedstock:
    return Feedstock(
        key=key,
        name=raw["name"],
        kind=Kind(raw["kind"]),
        limit=_saying(raw["limit"], sources) if "limit" in raw else None,
        **{name: _known(raw[name], unit, sources) for name, unit in UNITS.items()},
    )


def _known(raw: dict[str, Any], unit: str, sources: dict[str, str]) -> Known:
    low, typical, high = map(float, raw["range"])
    return Known(
        low=low,
        typical=typical,
        high=high,
        unit=unit,
        source=sources[raw["source"]],
        status=Status(raw["status"]),
        range_source=sources[raw.get("range_source", raw["source"])],
        range_status=Status(raw.get("range_status", raw["status"])),
    )


def _saying(raw: dict[str, Any], sources: dict[str, str]) -> Saying:
    return Saying(
        sentence=raw["sentence"],
        source=sources[raw["source"]],
        status=Status(raw["status"]),
        most=raw.get("most"),
    )
