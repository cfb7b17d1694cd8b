"""Phone numbers as written on a sheet → a key of digits and one shown form.

North American numbers of ten digits (or eleven with a leading 1), as in the North American Numbering
Plan, and seven where the area code was left out. Anything else is kept as written.
"""

import re
from typing import NamedTuple

_EXTENSION = re.compile(r"\s*(?:ext\.?|extension|x|#)\s*(\d{1,6})\s*$", re.IGNORECASE)
_ALLOWED = re.compile(r"^[\d\s().+/\-–·]*$")
LOCAL, NATIONAL = 7, 10


class ReadPhone(NamedTuple):
    """A phone as shown and its key; both empty where the text is no phone number."""

    shown: str
    phone_key: str


NO_PHONE = ReadPhone("", "")


def read_phone(text: object) -> ReadPhone:
    """'555.555.0178', '(555) 555-0178' and 5555550178.0 → '555-555-0178', key '5555550178'."""
    number, extension = _split_extension(_as_text(text))
    if not _ALLOWED.match(number):
        return NO_PHONE
    digits = re.sub(r"\D", "", number)
    if len(digits) == NATIONAL + 1 and digits.startswith("1"):
        digits = digits[1:]
    if len(digits) not in {LOCAL, NATIONAL}:
        return NO_PHONE
    tail = f" ext. {extension}" if extension else ""
    return ReadPhone(_grouped(digits) + tail, digits)


def phone_key(text: object) -> str:
    """The digits that identify a phone, '' where the text is none."""
    return read_phone(text).phone_key


def _grouped(digits: str) -> str:
    groups = (digits[-NATIONAL:-LOCAL], digits[-LOCAL:-4], digits[-4:])
    return "-".join(group for group in groups if group)


def _split_extension(text: str) -> tuple[str, str]:
    found = _EXTENSION.search(text)
    return (text[: found.start()], found.group(1)) if found else (text, "")


def _as_text(value: object) -> str:
    if isinstance(value, float) and value.is_integer():
        return str(int(value))
    return re.sub(r"\.0$", "", str(value if value is not None else "").strip())
