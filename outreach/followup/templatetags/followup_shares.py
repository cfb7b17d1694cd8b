"""Shares as whole percents and grams as kilograms, for pages of follow-up."""

from django import template

register = template.Library()

PERCENT = 100
G_PER_KG = 1000


@register.filter
def percent(share: float) -> str:
    """0.826 → '83'."""
    return f"{share * PERCENT:.0f}"


@register.filter
def kilograms(grams: int) -> str:
    """2340 → '2.34 kg'."""
    return f"{grams / G_PER_KG:,.2f} kg"
