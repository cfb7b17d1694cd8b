"""docs/glossary.md is the naming contract: what the code holds is in it, and its synonyms are nowhere used as names."""

import re
from functools import cache
from pathlib import Path

import pytest
from django.apps import apps
from django.urls import URLPattern, URLResolver, get_resolver

ROOT = Path(__file__).resolve().parents[1]


@cache
def table(heading: str) -> list[dict[str, str]]:
    """The rows of the table under a heading, each by the heading of its columns."""
    text = (ROOT / "docs" / "glossary.md").read_text(encoding="utf-8")
    below = text.split(f"\n## {heading}\n", 1)[1].split("\n## ", 1)[0]
    head, _rule, *rows = [line for line in below.splitlines() if line.startswith("|")]
    return [dict(zip(cells(head), cells(row), strict=True)) for row in rows]


def cells(row: str) -> list[str]:
    return [cell.strip() for cell in row.strip("|").split("|")]


def our_models() -> list:
    return [model for model in apps.get_models() if model.__module__.startswith("outreach.")]


def synonyms() -> set[str]:
    rows = table("Records") + table("Words of the records that have no table")
    return {word.strip() for row in rows for word in row["not called"].split(",")} - {""}


# What a device of the Door sends is an event in the words of its format; a workshop is none.
SENT_BY_DEVICES = {"DoorEvent", "EventOutcome", "api_door_events"}


def words_of(name: str) -> set[str]:
    """'StockMovement' and 'stock_movement' alike: their words, plurals cut to one."""
    parts = re.findall(r"[A-Z]?[a-z]+", name)
    return {part.lower() for part in parts} | {part.lower().removesuffix("s") for part in parts}


def url_names(patterns) -> set[str]:
    names = set()
    for one in patterns:
        if isinstance(one, URLResolver):
            names |= url_names(one.url_patterns)
        elif isinstance(one, URLPattern) and one.name:
            names.add(one.name)
    return names


def test_every_model_is_in_the_glossary_and_nothing_else():
    listed = [row["model"] for row in table("Records")]

    found = sorted(model._meta.label for model in our_models())
    assert sorted(listed) == found, f"Explain in docs/glossary.md: {set(listed) ^ set(found)}"


def test_every_module_of_the_numbers_is_in_the_glossary_and_nothing_else():
    found = {path.stem for path in (ROOT / "diversion").glob("*.py")} - {"__init__"}
    found |= {path.parent.name for path in (ROOT / "diversion").glob("*/__init__.py")}

    listed = [row["module"] for row in table("Modules of `diversion`")]

    assert listed == sorted(found), f"Explain in docs/glossary.md, in order: {set(listed) ^ found}"


def test_each_word_is_explained_once():
    headings = ("Records", "Words of the records that have no table", "Words of the numbers")
    words = [row["word"] for heading in headings for row in table(heading)]

    assert len(set(words)) == len(words)
    for heading in headings:
        for row in table(heading):
            assert row.get("means") or row.get("one of these is"), row["word"]


def test_no_model_is_called_by_a_synonym():
    names = {model.__name__ for model in our_models()} - SENT_BY_DEVICES
    named = {name: words_of(name) & synonyms() for name in names}

    assert {name: words for name, words in named.items() if words} == {}


def test_no_address_is_called_by_a_synonym():
    names = url_names(get_resolver().url_patterns) - SENT_BY_DEVICES
    named = {name: words_of(name) & synonyms() for name in names}

    assert len(names) > 50
    assert {name: words for name, words in named.items() if words} == {}


@pytest.mark.parametrize("name", ["TicketLine", "household_events", "user_add"])
def test_a_synonym_would_be_found(name):
    assert words_of(name) & synonyms()
