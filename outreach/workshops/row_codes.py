"""The short code of a row of a sign-in sheet: the number of the place on the list, and a digit that checks it.

The check digit is that of ISO/IEC 7064, MOD 11,10: it finds every single wrong digit and nearly all pairs that
changed places.
"""

import re

from django.utils.translation import gettext as _

SHORTEST = 4
CODE = re.compile(r"\s*(\d{3,12})\s*[-–. ]?\s*(\d)\s*")


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
