"""The grammar of an answer: numbers, how often, and then one amount, or several of one kind added up.

It works on the kinds of the tokens written as a string ('2 five-gallon buckets' is NNUV), by patterns
applied in turn. Whatever does not come out as an amount in full is refused, so that a person looks at it.
"""

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from diversion import amount_words as words
from diversion.amount_tokens import Rewrite, Token, rewrite
from diversion.containers import SMALLEST_OFFERED, Container, ContainerTable
from diversion.conversions import PERCENT_OF_ONE
from diversion.errors import DiversionError
from diversion.materials import Material
from diversion.settings import SAME_SIZE_TOLERANCE

HEAD = r"(?P<bound>[SM])?F?(?:(?P<count>N)(?:R(?P<upper>N))?)?F?"
SIZED = re.compile(HEAD + r"X?(?P<size>N)(?P<unit>[UW])m?(?P<vessel>[VG])m?F?")
MULTIPLIED = re.compile(r"(?P<bound>)(?P<count>N)(?P<upper>)X(?P<size>N)(?P<unit>[UW])")
MULTIPLIED_AFTER = re.compile(r"(?P<bound>)(?P<upper>)(?P<size>N)(?P<unit>[UW])X(?P<count>N)")
SIZED_AFTER = re.compile(
    HEAD + r"m?(?P<vessel>[VG])m?(?:O|(?P<open>L)|(?=N.E))(?P<size>N)(?P<unit>[UW])E?J?F?"
)
PLAIN = re.compile(HEAD + r"(?P<vessel>[UVW])(?P<half>H)?L?F?J?")
UNKNOWN = re.compile(HEAD + r"(?:m*[VG]m*)")

WHICH = (
    "it does not say which container; give a number and a container of known size, such as "
    "'2 five-gallon buckets', or a weight"
)
HOW_MUCH = "there is no amount in it; give a number with a container or a unit, such as '2 gallons' or '3 lb'"
SEVERAL = "it can be read in more than one way; give one number with one container or unit"
NEGATIVE = "it is negative; give 0 if there was nothing"


class Unreadable(DiversionError):
    """Why a text is no amount. Raised within the grammar, which does not know the whole text."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One amount before it is put per week: so many of something.

    `size` is litres of one, or kilograms of one if `is_weight`; `said` is the same in words, `note` how an
    inexact number was taken.
    """

    count: float
    size: float
    is_weight: bool
    container: Container | None
    said: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HowOften:
    """So many times in so many weeks; no weeks: in the period that was asked about.

    `said` continues the words for the amount.
    """

    times: float
    weeks: float | None
    said: str


def with_numbers_worked_out(tokens: list[Token]) -> list[Token]:
    """Mixed numbers, fractions in words, articles, percentages and fill levels turned into one token each."""
    steps: tuple[tuple[str, Rewrite], ...] = (
        (r"aD", lambda t: [_sign(words.PER), t[1]]),
        (r"NaN", lambda t: [t[0], _sign(words.RANGE), t[2]]),
        (r"BNAN", lambda t: [t[1], _sign(words.RANGE), t[-1]]),
        (r"Aa?Q", lambda t: [Token(kind=words.AND_A_HALF, text="and a half", value=t[-1].value)]),
        (r"[Na]?Q", lambda t: [_number(t[-1].value * (t[0].value if t[0].kind == words.NUMBER else 1))]),
        (r"NN", _mixed),
        (r"NH", lambda t: [_number(t[0].value + t[1].value)]),
        (r"NC", lambda t: [_number(t[0].value / PERCENT_OF_ONE)]),
        (r"^O|O(?!a?N)", lambda _: []),
        (r"(?<![VGm])m+(?![VGm])", lambda _: []),
        (r"(?<=[NOF])a|a(?=F?N)", lambda _: []),
        (r"a", lambda _: [_number(1)]),
        (r"NF", _filled),
        (r"NP(?=[UVWG])", lambda t: [_sign(words.MORE), t[0]]),
        (r"N[MS](?=[UVWG])", lambda t: [t[1], t[0]]),
        (r"N[UVW][MS]$", lambda t: [t[-1], *t[:-1]]),
        (r"P", lambda _: [_sign(words.AND)]),
    )
    for pattern, change in steps:
        tokens = rewrite(tokens, pattern, change)
    return [token for token in tokens if token.kind != words.FULL or token.value]


def _sign(kind: str) -> Token:
    return Token(kind=kind, text="")


def _number(value: float) -> Token:
    return Token(kind=words.NUMBER, text=f"{value:g}", value=value)


def _mixed(run: list[Token]) -> list[Token]:
    """'1 1/2' is one number, '2 5' is not."""
    whole, part = run
    if whole.value.is_integer() and "/" in part.text and part.value < 1:
        return [_number(whole.value + part.value)]
    return run


def _filled(run: list[Token]) -> list[Token]:
    """'Half full' is a fill level, '2 full' is a number."""
    number = run[0]
    if number.value < 1:
        return [Token(kind=words.FULL, text="full", value=number.value)]
    return [number]


def how_often(tokens: list[Token]) -> tuple[list[Token], HowOften | None]:
    """Take 'twice a week', 'every other day', 'monthly' and the like out of the tokens.

    Raises
    ------
    Unreadable
        If two different periods are named.
    """
    found: list[HowOften] = []

    def note(run: list[Token]) -> list[Token]:
        found.append(_frequency(run))
        return []

    for pattern in (r"NTRNT[pE]*D?", r"N(?:RN)?[TX][pE]*D", r"[Ep]+[eN]D", r"[Ep]*D", r"N(?:RN)?T"):
        tokens = rewrite(tokens, pattern, note)
    if len(found) > 1:
        raise Unreadable(SEVERAL)
    rest = [token for token in tokens if token.kind != words.PER]
    return rest, found[0] if found else None


def _frequency(run: list[Token]) -> HowOften:
    numbers = [token.value for token in run if token.kind == words.NUMBER]
    is_times = any(token.kind in {words.TIMES, words.CROSS} for token in run)
    weeks = run[-1].value if run[-1].kind == words.PERIOD else None
    period = _period_name(weeks) if weeks else "the period asked about"
    if is_times:
        times = math.fsum(numbers) / len(numbers)
        said = f", {times:g} {'time' if times == 1 else 'times'} {'a' if weeks else 'in'} {period}"
        return HowOften(times=times, weeks=weeks, said=said)
    every = numbers[0] if numbers else 1 + sum(token.kind == words.OTHER for token in run)
    said = f" a {period}" if every == 1 else f" every {every:g} {period}s"
    return HowOften(times=1, weeks=every * weeks if weeks else None, said=said)


def _period_name(weeks: float) -> str:
    names = {words.WEEKS[name]: name for name in ("day", "week", "fortnight", "month", "year")}
    return names[weeks]


def parts_of(tokens: Sequence[Token], *, material: Material, containers: ContainerTable) -> list[Part]:
    """The amounts that are left once numbers and frequency are dealt with; they are to be added up.

    Raises
    ------
    Unreadable
        With the reason, if they are not amounts, or volumes are mixed with weights.
    """
    groups: list[list[Token]] = [[]]
    for token in tokens:
        if token.kind == words.AND:
            groups.append([])
        else:
            groups[-1].append(token)
    parts = [_part(group, material, containers) for group in groups]
    if len({part.is_weight for part in parts}) > 1:
        raise Unreadable(SEVERAL)
    return parts


def _part(tokens: list[Token], material: Material, containers: ContainerTable) -> Part:
    kinds = "".join(token.kind for token in tokens)
    for pattern in (SIZED, SIZED_AFTER, MULTIPLIED, MULTIPLIED_AFTER, PLAIN):
        if match := pattern.fullmatch(kinds):
            read = _plain if pattern is PLAIN else _sized
            return _bounded(read(tokens, match), tokens, match)
    if match := UNKNOWN.fullmatch(kinds):
        if kinds == "SNG" and tokens[1].value == 1:
            smallest = containers[SMALLEST_OFFERED[material]]
            return _halved(_of(smallest, tokens[-2].value))
        raise Unreadable(WHICH)
    raise Unreadable(HOW_MUCH if not set(kinds) & set("UVWG") and "N" not in kinds else _why_not(kinds))


def _why_not(kinds: str) -> str:
    return WHICH if re.fullmatch(r"[SM]?N(RN)?", kinds) else SEVERAL


def _count(tokens: list[Token], match: re.Match[str]) -> float:
    fill = math.prod(token.value for token in tokens if token.kind == words.FULL)
    half = math.fsum(token.value for token in tokens if token.kind == words.AND_A_HALF)
    if match["count"] is None:
        return (1 + half) * fill
    first = tokens[match.start("count")].value
    last = tokens[match.start("upper")].value if match["upper"] else first
    if last < first:
        raise Unreadable(SEVERAL)
    return ((first + last) / 2 + half) * fill


def _plain(tokens: list[Token], match: re.Match[str]) -> Part:
    thing, count = tokens[match.start("vessel")], _count(tokens, match)
    if match["count"] is None and thing.is_plural:
        raise Unreadable(HOW_MUCH)
    if thing.container is None:
        said = f"{count:g} {thing.text}"
        return Part(count=count, size=thing.value, is_weight=True, container=None, said=said)
    return _of(thing.container, count)


def _of(container: Container, count: float) -> Part:
    said = f"{count:g} × {container.name}"
    if container.is_unit:
        said = f"{count:g} {container.words[1] if count > 1 else container.words[0]}"
    return Part(count=count, size=container.litres, is_weight=False, container=container, said=said)


def _sized(tokens: list[Token], match: re.Match[str]) -> Part:
    count, named = _count(tokens, match), "vessel" in match.re.groupindex
    vessel = tokens[match.start("vessel")].container if named else None
    number, unit = tokens[match.start("size")].value, tokens[match.start("unit")]
    if unit.container is None:
        said = f"{count:g} × {number:g} {unit.text}"
        return Part(count=count, size=number * unit.value, is_weight=True, container=None, said=said)
    litres = number * unit.container.litres
    if "open" in match.re.groupindex and match["open"] and vessel and _alike(litres, count * vessel.litres):
        return _of(vessel, count)  # '2 buckets (10 gal)': the brackets hold the sum
    if vessel and _alike(litres, vessel.litres):
        return _of(vessel, count)
    said = f"{count:g} × {number:g}-{unit.container.name}{' container' if named else ''}"
    return Part(count=count, size=litres, is_weight=False, container=None, said=said)


def _alike(litres: float, other: float) -> bool:
    return math.isclose(litres, other, rel_tol=SAME_SIZE_TOLERANCE)


def _bounded(part: Part, tokens: list[Token], match: re.Match[str]) -> Part:
    if match["bound"] == words.LESS:
        return _halved(part)
    if match["bound"] == words.MORE:
        return replace(part, note=" ('more than' taken as just that)")
    if match["upper"]:
        first, last = tokens[match.start("count")].value, tokens[match.start("upper")].value
        return replace(part, note=f" (the middle of {first:g} to {last:g})")
    return part


def _halved(part: Part) -> Part:
    return replace(part, count=part.count / 2, said=f"less than {part.said}", note=" (taken as half of that)")
