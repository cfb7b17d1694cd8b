"""The table of problems: symptom → likely causes in order → what to do now → when to call someone.

Read once from problems.toml and checked as it is read. Everything in it is said in both languages.
"""

import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from django.utils.translation import get_language

from diversion.factors.published import Status
from outreach.coaching.cautions import CAUTIONS
from outreach.coaching.published import BadEntry
from outreach.coaching.symptoms import Symptom

SPANISH = "es"
# More than any other cause can weigh.
URGENT = float(len(Symptom.values))


@dataclass(frozen=True, slots=True)
class Said:
    """The same in English and in Spanish; as text it is in the language of whoever reads."""

    en: str
    es: str

    def __post_init__(self) -> None:
        if not (self.en.strip() and self.es.strip()):
            raise BadEntry(entry=self.en or self.es, reason="is not said in both languages")

    def __str__(self) -> str:
        return self.es if (get_language() or "").startswith(SPANISH) else self.en


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What a problem may come from, and what to do about it now; at least one thing."""

    key: str
    words: Said
    now: tuple[Said, ...]
    source: str
    status: Status

    def __post_init__(self) -> None:
        if not self.now:
            raise BadEntry(entry=self.key, reason="says nothing to do")


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """What someone notices: its causes, the likeliest first, the short answer, and when to call someone."""

    key: str
    name: Said
    causes: tuple[Cause, ...]
    short: Said
    call: Said
    source: str
    status: Status
    caution_keys: tuple[str, ...]

    def __post_init__(self) -> None:
        if not self.causes:
            raise BadEntry(entry=self.key, reason="has no cause")

    @property
    def cautions(self) -> list[Any]:
        """The cautions that go with it, in words."""
        return [CAUTIONS[key] for key in self.caution_keys]


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnosis:
    """What several problems together point to: causes, the likeliest first, and what goes with them."""

    problems: tuple[Problem, ...]
    causes: tuple[Cause, ...]

    @property
    def caution_keys(self) -> tuple[str, ...]:
        """Those of all its problems, each once."""
        return tuple(dict.fromkeys(key for problem in self.problems for key in problem.caution_keys))

    @property
    def cautions(self) -> list[Any]:
        """The same in words."""
        return [CAUTIONS[key] for key in self.caution_keys]


@cache
def problems() -> dict[str, Problem]:
    """The table by symptom, in the order in which symptoms are shown. Raises `BadEntry` where it has gaps."""
    table = tomllib.loads(files(__package__).joinpath("problems.toml").read_text(encoding="utf-8"))
    causes = {key: _cause(key, raw, table["sources"]) for key, raw in table["cause"].items()}
    read = {key: _problem(key, raw, causes, table["sources"]) for key, raw in table["problem"].items()}
    if missing := set(Symptom.values) ^ read.keys():
        raise BadEntry(entry=", ".join(sorted(missing)), reason="is in the list or in the table only")
    if unused := causes.keys() - {cause.key for one in read.values() for cause in one.causes}:
        raise BadEntry(entry=", ".join(sorted(unused)), reason="is the cause of nothing")
    return {key: read[key] for key in Symptom.values}


def diagnose(symptoms: Iterable[str]) -> Diagnosis:
    """What these symptoms together point to.

    A cause weighs the more, the more of the symptoms it explains and the higher it stands among the causes of
    each (1, 1/2, 1/3 … added up); of equals the one met first comes first. The weights are ours: an order to
    look in, no probability. What can burn comes before everything else. Unknown symptoms are passed over.
    """
    met = tuple(problems()[key] for key in dict.fromkeys(symptoms) if key in problems())
    weights: dict[str, float] = {}
    known: dict[str, Cause] = {}
    for problem in met:
        for place, cause in enumerate(problem.causes, start=1):
            known[cause.key] = cause
            first = URGENT if problem.key == Symptom.HOT else 0.0
            weights[cause.key] = weights.get(cause.key, first) + 1 / place
    order = sorted(weights, key=lambda key: -weights[key])
    return Diagnosis(problems=met, causes=tuple(known[key] for key in order))


def _said(raw: dict[str, str]) -> Said:
    return Said(raw.get("en", ""), raw.get("es", ""))


def _cause(key: str, raw: dict[str, Any], sources: dict[str, str]) -> Cause:
    return Cause(
        key=key,
        words=_said(raw["words"]),
        now=tuple(_said(one) for one in raw["now"]),
        source=sources[raw["source"]],
        status=Status(raw["status"]),
    )


def _problem(key: str, raw: dict[str, Any], causes: dict[str, Cause], sources: dict[str, str]) -> Problem:
    if unknown := [one for one in raw["causes"] if one not in causes]:
        raise BadEntry(entry=key, reason=f"names the unknown cause {unknown[0]}")
    if unknown := [one for one in raw["cautions"] if one not in CAUTIONS]:
        raise BadEntry(entry=key, reason=f"names the unknown caution {unknown[0]}")
    return Problem(
        key=key,
        name=_said(raw["name"]),
        causes=tuple(causes[one] for one in raw["causes"]),
        short=_said(raw["short"]),
        call=_said(raw["call"]),
        source=sources[raw["source"]],
        status=Status(raw["status"]),
        caution_keys=tuple(raw["cautions"]),
    )
