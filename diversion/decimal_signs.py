"""The sign before the decimals: '1.000' is one in one place and a thousand in another.

A number whose sign leaves three digits behind it can be read in both ways. Which is meant is decided by
other numbers written by the same people, never by the number alone.
"""

import math
import re
from collections.abc import Iterable
from enum import StrEnum

# A number, or several of its groups; a sign at its end closes a sentence.
NUMBER = re.compile(r"\d+(?:[.,]\d+)*|\.\d+")
_COULD_GROUP = re.compile(r"[1-9]\d{0,2}([.,])\d{3}")
_GROUPS = re.compile(r"[1-9]\d{0,2}(?:([.,])\d{3})(?:\1\d{3})*")


class DecimalSign(StrEnum):
    """How a list of answers writes decimals: as its numbers show, or as nothing shows."""

    POINT = "."
    COMMA = ","
    NOT_SAID = ""
    BOTH = "both"

    @property
    def other(self) -> str:
        """The sign that groups thousands where this one stands before decimals."""
        return "," if self is DecimalSign.POINT else "."


def decimal_sign_in(texts: Iterable[str]) -> DecimalSign:
    """What the numbers of some answers show; those that can be read in both ways show nothing.

    Parameters
    ----------
    texts : iterable of str

    Returns
    -------
    DecimalSign
        BOTH where some write '1.5' and others '1,5'.
    """
    shown = {sign for text in texts for piece in NUMBER.findall(text) if (sign := _shown_by(piece))}
    if len(shown) > 1:
        return DecimalSign.BOTH
    return DecimalSign(shown.pop()) if shown else DecimalSign.NOT_SAID


def _shown_by(piece: str) -> str:
    """The sign that a number certainly has before its decimals; '' where it shows none."""
    signs = [letter for letter in piece if letter in ".,"]
    if not signs or _COULD_GROUP.fullmatch(piece):
        return ""
    if len(signs) == 1:
        return signs[0]
    groups, last, _decimals = _parted(piece)
    if len(set(signs)) > 1:
        return last if _fits(groups, last) else ""
    return DecimalSign(last).other if _GROUPS.fullmatch(piece) else ""


def is_ambiguous(piece: str, sign: DecimalSign = DecimalSign.NOT_SAID) -> bool:
    """Whether a number can be one or a thousand. Where nothing shows the sign, '1,000' is a thousand as usual
    here; '1.000' is not sure."""
    if not _COULD_GROUP.fullmatch(piece):
        return False
    return sign is DecimalSign.BOTH or (sign is DecimalSign.NOT_SAID and "." in piece)


def written_plainly(text: str, sign: DecimalSign) -> str:
    """The same words with numbers that could be read in both ways written in the one way that is meant.

    Parameters
    ----------
    text : str
    sign : DecimalSign
        As the list shows it; POINT and COMMA decide, with the others nothing is changed.

    Returns
    -------
    str
        '1.000 litros' becomes '1000 litros' under COMMA; '1,500' becomes '1.5000'.
    """
    if sign not in (DecimalSign.POINT, DecimalSign.COMMA):
        return text
    return NUMBER.sub(lambda match: _plainly(match.group(), sign), text)


def _plainly(piece: str, sign: DecimalSign) -> str:
    if not _COULD_GROUP.fullmatch(piece):
        return piece
    if sign.other in piece:
        return piece.replace(sign.other, "")
    whole, _sign, decimals = _parted(piece)
    # A zero more or less behind the decimals says the same, and cannot be taken for thousands.
    return f"{whole}.{decimals}0"


def number_in(piece: str) -> float:
    """The number that a piece says; not a number where its signs make none.

    Parameters
    ----------
    piece : str
        As `NUMBER` finds it, and not ambiguous.

    Returns
    -------
    float
    """
    groups, last, decimals = _parted(piece)
    if not last:
        return float(piece)
    if _GROUPS.fullmatch(piece) and (last == "," or last in groups):
        return float(re.sub(r"[.,]", "", piece))
    if "." in groups or "," in groups:
        return float(re.sub(r"[.,]", "", groups) + "." + decimals) if _fits(groups, last) else math.nan
    return float(f"{groups or 0}.{decimals}")


def _fits(groups: str, last: str) -> bool:
    return bool(_GROUPS.fullmatch(groups)) and last not in groups


def _parted(piece: str) -> tuple[str, str, str]:
    """What stands before the last sign, the sign, and what follows; without a sign the whole comes first."""
    at = max(piece.rfind("."), piece.rfind(","))
    return (piece, "", "") if at < 0 else (piece[:at], piece[at], piece[at + 1 :])
