"""Days as paperwork writes them, in cells, titles and file names."""

import re
from collections.abc import Iterable
from datetime import date, datetime, timedelta

from outreach.intake.sheets import Value, as_text

_MONTHS = (
    ("january", "jan", "enero", "ene"),
    ("february", "feb", "febrero"),
    ("march", "mar", "marzo"),
    ("april", "apr", "abril", "abr"),
    ("may", "mayo"),
    ("june", "jun", "junio"),
    ("july", "jul", "julio"),
    ("august", "aug", "agosto", "ago"),
    ("september", "sep", "sept", "septiembre", "setiembre"),
    ("october", "oct", "octubre"),
    ("november", "nov", "noviembre"),
    ("december", "dec", "diciembre", "dic"),
)
_MONTH_OF = {word: number for number, words in enumerate(_MONTHS, start=1) for word in words}
_NAMED = "|".join(sorted(_MONTH_OF, key=len, reverse=True))
_YEAR = r"(?:19|20)\d\d"
_EDGE, _END = r"(?<![\d])", r"(?![\d])"
# One separator throughout: '2025 10-11:30' is a year and the hours after it.
_ISO = re.compile(rf"{_EDGE}({_YEAR})(?P<by>[-_./ ]?)(\d\d)(?P=by)(\d\d){_END}")
_NUMBERS = re.compile(rf"{_EDGE}(\d\d?)\s?([-_./])\s?(\d\d?)\s?\2\s?({_YEAR}|\d\d){_END}")
_RUN_TOGETHER = re.compile(rf"{_EDGE}(\d\d)(\d\d)({_YEAR}){_END}")
_DAY_FIRST_NAMED = re.compile(
    rf"{_EDGE}(\d\d?)(?:st|nd|rd|th)? ?(?:de |of )?({_NAMED}) ?(?:de |del )?({_YEAR})"
)
_MONTH_FIRST_NAMED = re.compile(rf"\b({_NAMED}) ?(\d\d?)(?:st|nd|rd|th)? ?({_YEAR})")
_SHORT_YEAR = re.compile(
    rf"(?:(?P<day>\d\d?)[-/. ]+(?P<month>{_NAMED})|(?P<month_first>{_NAMED})[-/. ]+(?P<day_after>\d\d?))"
    r"[-/., ']+(?P<year>\d\d)"
)
_FIRST_SERIAL, _LAST_SERIAL = 20_000, 73_000  # 1954 to 2099
_EPOCH_1900, _EPOCH_1904 = date(1899, 12, 30), date(1904, 1, 1)


def read_date(value: Value, *, day_first: bool = False, since_1904: bool = False) -> date | None:
    """The day a cell says, serial day numbers too; none where it says no day."""
    if isinstance(value, datetime):
        return value.date()
    if isinstance(value, date):
        return value
    text = as_text(value)
    if re.fullmatch(r"\d{5}(\.\d+)?", text) and _FIRST_SERIAL <= float(text) <= _LAST_SERIAL:
        return (_EPOCH_1904 if since_1904 else _EPOCH_1900) + timedelta(days=int(float(text)))
    found = find_date(text, day_first=day_first)
    return found[0] if found else _with_a_short_year(text)


def _with_a_short_year(text: str) -> date | None:
    """'8-Mar-25' or 'Mar 8, 25', where the cell says nothing else; in a title '25' may be anything."""
    match = _SHORT_YEAR.fullmatch(text.casefold())
    if match is None:
        return None
    day, month = match["day"] or match["day_after"], match["month"] or match["month_first"]
    return _day(match["year"], str(_MONTH_OF[month]), day)


def find_date(text: str, *, day_first: bool = False) -> tuple[date, str] | None:
    """The first day named in a text, and the text without it."""
    for pattern, order in (
        (_ISO, "ymd"),
        (_NUMBERS, "numbers"),
        (_RUN_TOGETHER, "mdy"),
    ):
        match = pattern.search(text)
        day = match and _from_numbers(match, order, day_first)
        if match and day:
            return day, f"{text[: match.start()]} | {text[match.end() :]}"
    return _find_named(text)


def _from_numbers(match: re.Match[str], order: str, day_first: bool) -> date | None:
    if order == "ymd":
        return _day(match[1], match[3], match[4])
    if order == "mdy":
        return _day(match[3], match[1], match[2])
    first, separator, second, year = match.groups()
    month_then_day = _day(year, first, second)
    day_then_month = _day(year, second, first)
    if day_first or separator == ".":
        return day_then_month or month_then_day
    return month_then_day or day_then_month


def _find_named(text: str) -> tuple[date, str] | None:
    plain = re.sub(r"[,.\-_]", " ", text.casefold())
    plain = re.sub(r"(?<! ) (?= )", "", plain)  # '13 - july' keeps one space
    for pattern, month, day in ((_DAY_FIRST_NAMED, 2, 1), (_MONTH_FIRST_NAMED, 1, 2)):
        match = pattern.search(plain)
        found = match and _day(match[3], str(_MONTH_OF[match[month]]), match[day])
        if match and found:
            words = re.split(r"[\s,.\-_]+", match.group())
            rest = re.sub(r"[\s,.\-_]*".join(map(re.escape, words)), " | ", text, count=1, flags=re.I)
            return found, rest
    return None


def _day(year: str, month: str, day: str) -> date | None:
    whole_year = int(year) + (2000 if len(year) == 2 else 0)
    try:
        return date(whole_year, int(month), int(day))
    except ValueError:
        return None


def is_day_first(values: Iterable[Value]) -> bool:
    """Does this column write the day before the month? Only where some number says so for certain."""
    day_first = month_first = 0
    for value in values:
        match = _NUMBERS.search(as_text(value))
        if match:
            day_first += int(match[1]) > 12
            month_first += int(match[3]) > 12
    return day_first > month_first
