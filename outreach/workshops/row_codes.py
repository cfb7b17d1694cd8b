"""The short code of a row of a sign-in sheet: the number of the place on the list, and a digit that checks it.

A blank line for somebody who walks in has no place on the list yet: its code is W, the number of the workshop and
that of the line.

The check digit is that of ISO/IEC 7064, MOD 11,10: it finds every single wrong digit and nearly all pairs that
changed places.
"""

import re
from typing import NamedTuple

from django.utils.translation import gettext as _

SHORTEST = 4
CODE = re.compile(r"\s*(\d{3,12})\s*[-–. ]?\s*(\d)\s*")
LINE = re.compile(r"\s*[Ww]\s*(\d{1,10}?)\s*[-–. ]?\s*(\d\d)\s*[-–. ]?\s*(\d)\s*")
# Put before the digits of a line when they are checked, so that a code whose W was left out is no code of a place.
BLANK = "9"
MOST_LINES = 99


class Line(NamedTuple):
    """A blank line of the printed sheet of one workshop."""

    workshop: int
    number: int


class Misread(ValueError):
    """What stands there is no code of ours, or a digit of it was misread."""

    def __init__(self, text: str) -> None:
        self.text = text
        super().__init__(
            _("%(text)s is not a code of a sheet: a digit was misread, or it belongs elsewhere.")
            % {"text": text}
        )


def code_of(number: int) -> str:
    """The code of the place with this number: '0412-7'."""
    digits = f"{number:0{SHORTEST}d}"
    return f"{digits}-{check_digit(digits)}"


def line_code(line: Line) -> str:
    """The code of a blank line: 'W12-07-9' is the seventh of the sheet of workshop 12."""
    digits = f"{line.workshop}{line.number:02d}"
    return f"W{line.workshop}-{line.number:02d}-{check_digit(BLANK + digits)}"


def read(text: str) -> int | Line:
    """The number of the place, or the blank line, that a code names, however it was typed.

    Raises
    ------
    Misread
    """
    found = LINE.fullmatch(text)
    if not found:
        return number_in(text)
    if check_digit(BLANK + found[1] + found[2]) != int(found[3]):
        raise Misread(text)
    return Line(int(found[1]), int(found[2]))


def number_in(text: str) -> int:
    """The number of the place that a code names, however it was typed.

    Raises
    ------
    Misread
    """
    found = CODE.fullmatch(text)
    if not found or check_digit(found[1]) != int(found[2]):
        raise Misread(text)
    return int(found[1])


def check_digit(digits: str) -> int:
    """The digit that ISO/IEC 7064, MOD 11,10, puts behind these."""
    product = 10
    for digit in digits:
        total = (product + int(digit)) % 10 or 10
        product = total * 2 % 11
    return (11 - product) % 10
