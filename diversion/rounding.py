"""How figures are printed. One policy for every document, so that page, PDF and workbook never disagree.

Rounding happens here and only here, at the edge: estimates to the digits that their interval can bear (three
significant ones), never more than two decimals; counts whole.
"""

from decimal import ROUND_HALF_EVEN, Decimal

from diversion.settings import DECIMALS_PRINTED, SIGNIFICANT_DIGITS_PRINTED, WHOLE_PERCENT

MINUS = "\N{MINUS SIGN}"
NOT_ESTIMATED = "\N{EN DASH}"


def printed(value: float | int | None, *, unit: str = "") -> str:
    """Print a figure for a document.

    Parameters
    ----------
    value : float, int or None
        None, where there is no estimate, prints as a dash.
    unit : str
        Follows after a no-break space, if given.

    Returns
    -------
    str
        Whole numbers as they are; others to three significant digits and at most two decimals (the tie to the
        even digit), thousands with a comma, a true minus sign: '1,230', '45.7', '0.12', '−3.41'.
    """
    if value is None:
        return NOT_ESTIMATED
    text = f"{value:,}" if isinstance(value, int) else _rounded(value)
    text = text.replace("-", MINUS)
    return f"{text}\N{NO-BREAK SPACE}{unit}" if unit else text


def printed_share(share: float | None) -> str:
    """Print a share of 0 to 1 in whole percent; a share that is neither never prints as 0 % or 100 %."""
    if share is None:
        return NOT_ESTIMATED
    percent = round(WHOLE_PERCENT * share)
    if percent == 0 and share > 0:
        return "under 1\N{NO-BREAK SPACE}%"
    if percent == WHOLE_PERCENT and share < 1:
        return "over 99\N{NO-BREAK SPACE}%"
    return f"{percent}\N{NO-BREAK SPACE}%"


def printed_whole(value: float | int) -> str:
    """Print a count or household-weeks as a whole number, thousands with a comma."""
    return f"{round(value):,}".replace("-", MINUS)


def counted(count: int, one: str, many: str = "") -> str:
    """A count with its word: '1 answer', '2 answers', '1,200 people'.

    Parameters
    ----------
    count : int
    one : str
        The word for one of them.
    many : str
        The word for any other number; `one` with an 's' where it is left out.

    Returns
    -------
    str
    """
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def _rounded(value: float) -> str:
    # repr gives the shortest decimal that is this float, so that 0.125 is rounded as the reader sees it.
    exact = Decimal(repr(value))
    if not exact:
        return "0"
    rounded = _to_digits(exact, magnitude=exact.adjusted())
    if not rounded:
        return f"under {Decimal(1).scaleb(-DECIMALS_PRINTED)}" if value > 0 else "0"
    # 9.996 has become 10.00, which claims a digit too many.
    return f"{_to_digits(exact, magnitude=rounded.adjusted()):,f}"


def _to_digits(exact: Decimal, *, magnitude: int) -> Decimal:
    decimals = min(DECIMALS_PRINTED, SIGNIFICANT_DIGITS_PRINTED - 1 - magnitude)
    return exact.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
