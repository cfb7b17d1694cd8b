"""A landfill's own table of gas collection: written in lines, kept as rows, said in words.

A row is [from year, to year or None, share collected 0 to 1], by the age of the waste.
"""

import re

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

Phase = list[float | None]
_LINE = re.compile(
    r"^\s*(?:years?\s*)?(?P<start>\d+(?:\.\d+)?)\s*"
    r"(?:(?:to|-|–|,|\s)\s*(?P<end>\d+(?:\.\d+)?|on|later)|(?P<open>\+|\s*and later))"
    r"\s*[:,;=\s]\s*(?P<share>\d+(?:\.\d+)?)\s*%?\s*$",
    re.IGNORECASE,
)


def read_phases(text: str) -> list[Phase]:
    """Read lines like '0 to 2: 0 %', '2 to 5: 50 %', '5 on: 75 %'.

    Raises
    ------
    ValidationError
        With one sentence for each line that cannot stand, all at once.
    """
    lines = [(number, line) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
    problems, phases = [], []
    for number, line in lines:
        found = _LINE.match(line)
        if found is None:
            problems.append(
                _("Line %(number)d: write it like '2 to 5: 50 %%', or '5 on: 75 %%'.") % {"number": number}
            )
            continue
        end = found["end"] if found["end"] and found["end"][0].isdigit() else None
        phases.append([float(found["start"]), float(end) if end else None, float(found["share"]) / 100])
    if not problems:
        problems = why_not(phases)
    if problems:
        raise ValidationError(problems)
    return phases


def why_not(phases: list[Phase]) -> list[str]:
    """What is wrong with the rows, in sentences; nothing where they cover every age once."""
    if not phases:
        return [_("Give the table, from year 0 on.")]
    problems = []
    if phases[0][0] != 0:
        problems.append(_("Line 1: the first line begins with year 0."))
    for number, (start, end, share) in enumerate(phases, start=1):
        is_last = number == len(phases)
        if share is None or not 0 <= share <= 1:
            problems.append(_("Line %(number)d: a share is from 0 to 100 %%.") % {"number": number})
        if end is not None and start is not None and end <= start:
            problems.append(_("Line %(number)d: it ends before it begins.") % {"number": number})
        if is_last and end is not None:
            problems.append(_("Line %(number)d: the last line goes 'on' without end.") % {"number": number})
        if not is_last and end != phases[number][0]:
            problems.append(
                _("Line %(next)d: it has to begin in the year in which line %(number)d ends.")
                % {"next": number + 1, "number": number}
            )
    return problems


def in_lines(phases: list[Phase]) -> str:
    """The rows as they are written in the form."""
    return "\n".join(_in_words(*phase) for phase in phases)


def _in_words(start: float | None, end: float | None, share: float | None) -> str:
    until = f"to {end:g}" if end is not None else "on"
    return f"{start:g} {until}: {100 * (share or 0):g} %"
