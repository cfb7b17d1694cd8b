"""For how long contact data is kept, for pages that tell residents."""

from django import template

from outreach.households import retention

register = template.Library()


@register.simple_tag
def months_kept() -> int | None:
    """Months after the bin was last in use; None where nobody has set it."""
    kept = retention.schedule()
    return kept.months_after_use if kept else None
