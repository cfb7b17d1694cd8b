"""The words paperwork uses, from `vocabulary.toml`, and how text is folded before it is compared."""

import re
import tomllib
import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

_TABLE = Path(__file__).with_name("vocabulary.toml")
_NOT_WORDS = re.compile(r"[^\w#✓✔☑√]+|_+")

# What chooses how a picture is drawn: a variation, a skin tone, a joiner.
_DRESSING = re.compile("[\ufe0e\ufe0f\u200d\U0001f3fb-\U0001f3ff]")


@lru_cache(maxsize=20_000)
def fold(text: str) -> str:
    """Lower case, without accents and punctuation: 'Correo electrónico:' → 'correo electronico', 'E-Mail' → 'email'."""
    plain = unicodedata.normalize("NFKD", text.replace("#", " # ").casefold())
    without_accents = "".join(letter for letter in plain if not unicodedata.combining(letter))
    words = " ".join(_NOT_WORDS.sub(" ", without_accents).split())
    return re.sub(r"\be mail", "email", words)


@cache
def vocabulary() -> dict[str, dict[str, list[str]]]:
    tables: dict[str, Any] = tomllib.loads(_TABLE.read_text(encoding="utf-8"))
    return tables


@cache
def words_of(table: str, entry: str) -> frozenset[str]:
    return frozenset(vocabulary()[table][entry])


def sign_in(text: str) -> str:
    """A mark in a cell as it is compared: words folded, a picture without its colours and skin tones."""
    return fold(text) or _DRESSING.sub("", text).strip()


def entries_in(table: str, text: str) -> list[tuple[str, int]]:
    """Entries of a table one of whose phrases stands in the text, with its length, the longest first."""
    folded = f" {fold(text)} "
    found = []
    for entry, phrases in vocabulary()[table].items():
        lengths = [len(phrase) for phrase in phrases if _stands_in(phrase, folded)]
        if lengths:
            found.append((entry, max(lengths)))
    return sorted(found, key=lambda pair: -pair[1])


def entry_named(table: str, text: str) -> str:
    """The entry of a table of which the text is exactly a phrase; '' where there is none."""
    folded = fold(text)
    return next((entry for entry, phrases in vocabulary()[table].items() if folded in phrases), "")


def _stands_in(phrase: str, folded: str) -> bool:
    if phrase.startswith("="):
        return folded.strip() == phrase[1:]
    return f" {phrase} " in folded
