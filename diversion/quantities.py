"""What a resident says about how much goes into the bin, as whole millilitres or grams a week.

'2 five-gallon buckets', 'half a pail twice a week', '3 lb', 'menos de un balde': a number and a container
of known size, or a weight. Anything less certain is refused with its reason, goes to a person, and is no
answer meanwhile.
"""

import math
import re
from dataclasses import dataclass, replace
from enum import StrEnum
from itertools import pairwise

from diversion import amount_words as words
from diversion.amount_reading import (
    NEGATIVE,
    HowOften,
    Part,
    Unreadable,
    how_often,
    parts_of,
    with_numbers_worked_out,
)
from diversion.amount_tokens import Token, rewrite, tokens_of
from diversion.containers import STANDARD, Container, ContainerTable
from diversion.conversions import GRAMS_PER_KG, MILLILITRES_PER_LITRE, WEEKS_PER_MONTH
from diversion.errors import DiversionError
from diversion.materials import Material
from diversion.settings import (
    LARGEST_READABLE_LITRES_PER_WEEK,
    LONGEST_READABLE_TEXT,
    PLAUSIBLE_KG_PER_WEEK,
    PLAUSIBLE_LITRES_PER_WEEK,
)

__all__ = [
    "STANDARD",
    "Amount",
    "Container",
    "ContainerTable",
    "Material",
    "NotAnAmount",
    "Period",
    "litres_from_name",
    "read_amount",
]

DOUBTFUL = "it does not commit to one amount; ask again for a number and a container, or a weight"


class Period(StrEnum):
    """What a question asks about. A month is 52.1775 / 12 weeks, the mean month of the calendar."""

    WEEK = "week"
    MONTH = "month"

    @property
    def weeks(self) -> float:
        """Its length in weeks."""
        return WEEKS_PER_MONTH if self is Period.MONTH else 1.0


class NotAnAmount(DiversionError):
    """A text that does not say one amount; it goes to review and is no answer meanwhile.

    Attributes
    ----------
    text : str
        As given.
    reason : str
        Why, and what to give instead, in plain words.
    """

    def __init__(self, text: str, reason: str) -> None:
        self.text, self.reason = text, reason
        super().__init__(f"'{text}' is not an amount: {reason}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """What one household said of one material, per week.

    Parameters
    ----------
    millilitres_per_week, grams_per_week : int or None
        Exactly one is set, at least 0: what was said by volume stays a volume until a density is applied.
    quantity : float
        How many of the container, or of the unit of weight, as said.
    container : str or None
        Key in the container table; None for a weight, an odd size, a sum or nothing.
    understood_as : str
        In a few plain words, to show beside what was written.
    implausible : str or None
        Why a person should look before it counts; None where it is in the usual range.

    Raises
    ------
    NotAnAmount
        If both or neither is set, or one is negative.
    """

    millilitres_per_week: int | None
    grams_per_week: int | None
    quantity: float
    container: str | None
    understood_as: str
    implausible: str | None = None

    def __post_init__(self) -> None:
        given = [n for n in (self.millilitres_per_week, self.grams_per_week) if n is not None]
        if len(given) != 1:
            raise NotAnAmount(self.understood_as, "give either a volume or a weight")
        if given[0] < 0:
            raise NotAnAmount(self.understood_as, NEGATIVE)


def read_amount(
    text: str, *, material: Material, per: Period, containers: ContainerTable = STANDARD
) -> Amount:
    """Understand an answer to 'how much', in English or Spanish.

    Parameters
    ----------
    text : str
        As written: '1 1/2 buckets', '0.7 barrels (32 gal)', '3 lb', 'less than one container', 'none'.
    material : Material
        What was asked about; a 'bag' of yard trimmings has a usual size, one of food has not.
    per : Period
        What was asked about; a period in the text ('a month', 'twice a week') goes first.
    containers : ContainerTable

    Returns
    -------
    Amount
        Whole millilitres or grams per week. A range or 'less than' is taken at its middle, and says so.

    Raises
    ------
    NotAnAmount
        If the text does not say one amount. No other error, whatever the text.
    """
    try:
        return _read(text, material, per, containers)
    except Unreadable as why:
        raise NotAnAmount(text, str(why)) from None


def _read(text: str, material: Material, per: Period, containers: ContainerTable) -> Amount:
    if len(text) > LONGEST_READABLE_TEXT:
        raise Unreadable("it is too long to be one amount; pick the number and the container out of it")
    tokens = tokens_of(text, containers.words_for(material))
    kinds = {token.kind for token in tokens}
    if words.MINUS in kinds:
        raise Unreadable(NEGATIVE)
    for token in tokens:
        if token.kind == words.AMBIGUOUS:
            raise Unreadable(_one_or_a_thousand(token.text))
    if words.DOUBT in kinds or any(not math.isfinite(token.value) for token in tokens):
        raise Unreadable(DOUBTFUL)
    tokens, often = how_often(with_numbers_worked_out(tokens))
    if _is_nothing(tokens):
        return _nothing(material)
    return _amount(parts_of(tokens, material=material, containers=containers), often, material, per)


def _one_or_a_thousand(written: str) -> str:
    whole, decimals = re.split("[.,]", written)
    return (
        f"'{written}' can be {float(f'{whole}.{decimals}'):g} or {whole}{decimals}; write the whole number "
        f"without a sign, or no more than two decimals"
    )


def _is_nothing(tokens: list[Token]) -> bool:
    kinds = "".join(token.kind for token in tokens)
    if kinds == words.ZERO:
        return True
    return kinds in {"N", "NU", "NV", "NW", "NG"} and tokens[0].value == 0


def _nothing(material: Material) -> Amount:
    return Amount(
        millilitres_per_week=0,
        grams_per_week=None,
        quantity=0.0,
        container=None,
        understood_as=f"no {material}",
    )


def _amount(parts: list[Part], often: HowOften | None, material: Material, per: Period) -> Amount:
    times, weeks = (often.times, often.weeks or per.weeks) if often else (1.0, per.weeks)
    total = math.fsum(part.count * part.size for part in parts) * times / weeks
    if not total <= LARGEST_READABLE_LITRES_PER_WEEK:
        raise Unreadable("it is larger than anything a household could hold; check the number")
    is_weight, only = parts[0].is_weight, parts[0] if len(parts) == 1 else None
    scaled = round(total * (GRAMS_PER_KG if is_weight else MILLILITRES_PER_LITRE))
    said = " + ".join(part.said + part.note for part in parts)
    when = often.said if often else (" a month" if per is Period.MONTH else "")
    return Amount(
        millilitres_per_week=None if is_weight else scaled,
        grams_per_week=scaled if is_weight else None,
        quantity=only.count if only else 1.0,
        container=only.container.key if only and only.container else None,
        understood_as=f"{said}{when} = {_rounded(total)} {'kg' if is_weight else 'L'} a week",
        implausible=_implausible(total, is_weight, material),
    )


def _rounded(total: float) -> str:
    return f"{total:.1f}" if total >= 1 else f"{total:.2g}"


def _implausible(total: float, is_weight: bool, material: Material) -> str | None:
    limit = (PLAUSIBLE_KG_PER_WEEK if is_weight else PLAUSIBLE_LITRES_PER_WEEK)[material]
    if total <= limit:
        return None
    unit = "kg" if is_weight else "litres"
    return (
        f"{total:,.0f} {unit} of {material} a week is more than the {limit:,.0f} {unit} that one household "
        f"can plausibly compost; check with the household before it counts"
    )


def litres_from_name(text: str) -> float | None:
    """The size of a bin as its name states it, for stock lists: 'Folding mesh bin 110 gal' → 416.4.

    Parameters
    ----------
    text : str
        A name with a number and a unit of volume in it; '2 x 25 gal' is taken as 50.

    Returns
    -------
    float or None
        [L], or None where the name states no size, or more than one.
    """
    vocabulary = STANDARD.words_for(Material.YARD)
    tokens = with_numbers_worked_out(tokens_of(text[:LONGEST_READABLE_TEXT], vocabulary))
    tokens = rewrite(tokens, r"NXN(?=U)", lambda t: [replace(t[0], value=t[0].value * t[-1].value)])
    sizes = {
        number.value * unit.container.litres
        for number, unit in pairwise(tokens)
        if number.kind == words.NUMBER and unit.kind == words.UNIT and unit.container
    }
    stated = [litres for litres in sizes if litres > 0 and math.isfinite(litres)]
    return stated[0] if len(stated) == 1 else None
