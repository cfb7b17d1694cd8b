"""Numbers as people read them: grouped, with a true minus, always with their unit."""

from decimal import ROUND_HALF_UP, Decimal

from django import template
from django.utils.formats import number_format
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()

Number = int | float | Decimal
NOTHING = "–"


@register.filter
def grouped(value: Number | None, places: int = 0) -> str:
    """1234.5 → '1,234' or, with places 1, '1,234.5'; None → '–'."""
    if value is None:
        return NOTHING
    # number_format cuts digits off; people expect the last one rounded.
    rounded = Decimal(str(value)).quantize(Decimal(1).scaleb(-places), ROUND_HALF_UP)
    text = number_format(rounded, decimal_pos=places, use_l10n=True, force_grouping=True)
    return text.replace("-", "−")


@register.filter
def with_unit(value: Number | None, unit: str) -> SafeString | str:
    """A whole number and its unit, which never part at the end of a line."""
    return NOTHING if value is None else format_html("{}\u00a0{}", grouped(value), unit)


@register.filter
def money(cents: int | None, sign: str = "$") -> str:
    """12345 → '$123.45'."""
    if cents is None:
        return NOTHING
    minus = "−" if cents < 0 else ""
    return f"{minus}{sign}{grouped(Decimal(abs(cents)) / 100, 2)}"


@register.filter
def litres(millilitres: int | None) -> SafeString | str:
    """264979 → '265 L', 2500 → '2.5 L': stock and answers are kept in millilitres, read in litres."""
    if millilitres is None:
        return NOTHING
    places = 1 if 0 < millilitres < 10_000 else 0
    return format_html("{}\u00a0L", grouped(Decimal(millilitres) / 1000, places))
