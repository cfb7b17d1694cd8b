"""Shares as whole percents, for pages of follow-up."""

from django import template

register = template.Library()

PERCENT = 100


@register.filter
def percent(share: float) -> str:
    """0.826 → '83'."""
    return f"{share * PERCENT:.0f}"
