"""From the text of an answer to tokens: numbers worked out, words given their kind.

What is left out deliberately: spelling correction. A word that is in no table is noise, unless what remains
no longer reads as one amount, and then a person looks at it.
"""

import math
import re
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

from diversion import amount_words as words
from diversion.containers import Container
from diversion.decimal_signs import is_ambiguous, number_in

# Numbers ('2', '1,5', '.5', '1/2'), cubic units with their digit, words, and the signs that mean something.
PIECES = re.compile(r"\d+\s*/\s*\d+|\d+(?:[.,]\d+)*|\.\d+|(?:yd|ft|m)3\b|[a-z]+|[-+/()&%<>*]")


@dataclass(frozen=True, slots=True, kw_only=True)
class Token:
    """One piece of an answer.

    Parameters
    ----------
    kind : str
        A letter of `amount_words`.
    text : str
        As written, in lower case.
    value : float
        The number; kilograms in a unit of weight; weeks in a period. 0 for other kinds.
    container : Container or None
        For a container or a unit of volume.
    """

    kind: str
    text: str
    value: float = 0.0
    container: Container | None = None

    @property
    def is_plural(self) -> bool:
        """Whether the word is in the plural, so that a number should have come before it."""
        return self.text.endswith("s") or self.text.endswith("feet")


def tokens_of(text: str, vocabulary: dict[tuple[str, ...], Container]) -> list[Token]:
    """Cut a text into tokens; words that mean nothing here are left out.

    Parameters
    ----------
    text : str
    vocabulary : dict of tuple of str to Container
        What each word, or run of words, means: `ContainerTable.words_for`.

    Returns
    -------
    list of Token
    """
    pieces = _pieces(text)
    found: list[Token] = []
    at = 0
    while at < len(pieces):
        length, tokens = _next(pieces, at, vocabulary)
        found += tokens
        at += length
    return _in_spanish(found) if any(token.text in _SPANISH for token in found) else found


_SPANISH = words.spelled(
    "galon galones cubeta cubetas balde baldes bolsa bolsas libra libras litro litros "
    "cubo cubos barril barriles semana mes dia"
)


def _in_spanish(tokens: list[Token]) -> list[Token]:
    """'Once' in a Spanish answer is eleven, not one time."""
    spanish: list[Token] = []
    skip = False
    for token in tokens:
        if skip:
            skip = False
        elif token.text == "once":
            spanish.append(Token(kind=words.NUMBER, text="once", value=words.NUMBERS["once"]))
            skip = True
        else:
            spanish.append(token)
    return spanish


def _pieces(text: str) -> list[str]:
    spelled = "".join(f" {_fraction(char)} " if _is_fraction(char) else char for char in text)
    plain = unicodedata.normalize("NFKD", spelled.lower()).replace("×", "x").replace("⁄", "/")
    plain = "".join(char for char in plain if not unicodedata.combining(char))
    plain = re.sub(r"(?<=\d)\s*~\s*(?=\d)|[–—‐‑−]", "-", plain).replace("'", "").replace("’", "")
    plain = re.sub(r"(?<![\d/.,])(\d+)-(\d+\s*/\s*\d+)", r"\1 \2", plain)  # '1-1/2' is one and a half
    # A sign belongs to a number only at the very start or after a space; elsewhere a dash joins words.
    plain = re.sub(r"([^\d\s]\s+|^\s+)-(?=[\d.])|^-\s?(?=[\d.])", r"\1 minus ", plain)
    plain = re.sub(r"(?<=[a-z])\s*-\s*(?=[a-z])|(?<=\d)-(?=[a-z])|(?<=[a-z])\s*-\s*(?=\d)", " ", plain)
    return PIECES.findall(plain)


def _is_fraction(char: str) -> bool:
    return unicodedata.category(char) == "No" and unicodedata.numeric(char, 0) % 1 != 0


def _fraction(char: str) -> Fraction:
    return Fraction(unicodedata.numeric(char)).limit_denominator(words.LARGEST_DENOMINATOR)


def _next(
    pieces: list[str], at: int, vocabulary: dict[tuple[str, ...], Container]
) -> tuple[int, list[Token]]:
    """The longest run of pieces from `at` that means something, and how many pieces it takes."""
    for length in range(min(words.LONGEST_RUN, len(pieces) - at), 0, -1):
        run = tuple(pieces[at : at + length])
        text = " ".join(run)
        if run in vocabulary:
            kind = words.UNIT if vocabulary[run].is_unit else words.CONTAINER
            return length, [Token(kind=kind, text=text, container=vocabulary[run])]
        if run in words.PHRASES:
            kind = words.PHRASES[run]
            value = words.PHRASE_VALUES.get(kind, 0.0)
            return length, [] if kind == words.NOISE else [Token(kind=kind, text=text, value=value)]
    return 1, _single(pieces[at])


def _single(piece: str) -> list[Token]:
    if piece[0].isdigit() or piece[0] == ".":
        return [_number(piece)]
    if piece in words.ENGLISH_TIMES:
        times = Token(kind=words.NUMBER, text=piece, value=float(words.ENGLISH_TIMES[piece]))
        return [times, Token(kind=words.TIMES, text="times")]
    tables: tuple[tuple[str, dict[str, float]], ...] = (
        (words.NUMBER, words.NUMBERS),
        (words.FRACTION_WORD, words.FRACTION_WORDS),
        (words.WEIGHT, words.KG),
        (words.PERIOD, words.WEEKS),
    )
    for kind, table in tables:
        if piece in table:
            return [Token(kind=kind, text=piece, value=float(table[piece]))]
    if piece in {"-", "*"}:
        return [Token(kind=words.RANGE if piece == "-" else words.CROSS, text=piece)]
    return [Token(kind=words.KINDS[piece], text=piece)] if piece in words.KINDS else []


def _number(piece: str) -> Token:
    if "/" in piece:
        over, under = (int(part) for part in piece.split("/"))
        return Token(kind=words.NUMBER, text=piece, value=over / under if under else math.nan)
    if is_ambiguous(piece):
        return Token(kind=words.AMBIGUOUS, text=piece)
    return Token(kind=words.NUMBER, text=piece, value=number_in(piece))


Rewrite = Callable[[list[Token]], list[Token]]


def rewrite(tokens: list[Token], pattern: str, change: Rewrite) -> list[Token]:
    """Replace each run of tokens whose kinds match a pattern by what `change` makes of the run."""
    kinds = "".join(token.kind for token in tokens)
    changed: list[Token] = []
    end = 0
    for match in re.finditer(pattern, kinds):
        changed += tokens[end : match.start()] + change(tokens[match.start() : match.end()])
        end = match.end()
    return changed + tokens[end:]
