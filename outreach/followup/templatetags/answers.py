"""How the readings of an answer are printed."""

from datetime import date

from django import template
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from diversion.quantities import Material
from outreach.bins.models.handouts import NO_END_DAY
from outreach.followup.models import Answer
from outreach.followup.quantities_in_words import amount_in_words

register = template.Library()


@register.filter
def amount_of(answer: Answer, material: str) -> str:
    """'4.0 L' or '1.4 kg' per week; a dash where it was not said."""
    return amount_in_words(answer, Material(material)) or "–"


@register.filter
def amount_a_week(answer: Answer, material: str) -> str:
    """'4.0 L a week', or that it was not said."""
    amount = amount_in_words(answer, Material(material))
    return _("%(amount)s a week") % {"amount": amount} if amount else _("not said, or not understood")


@register.filter
def before_of(answer: Answer, material: str) -> str:
    """'50 % trash, 50 % composted'; what is left over was neither."""
    trash = getattr(answer, f"{material}_trash_percent")
    composted = getattr(answer, f"{material}_composted_percent")
    if trash is None:
        return _("not said")
    parts = {_("trash"): trash, _("composted"): composted, _("neither"): 100 - trash - composted}
    return ", ".join(f"{percent} % {word}" for word, percent in parts.items() if percent)


@register.filter
def days_in_force(answer: Answer) -> str:
    """From which day until which it is the household's latest answer."""
    if not answer.in_force_from_day:
        return _("never: it does not count")
    first = _day(answer.in_force_from_day)
    if answer.in_force_until_day == NO_END_DAY:
        return _("since %(first)s") % {"first": first}
    last = _day(answer.in_force_until_day - 1)
    return _("%(first)s to %(last)s, then a later answer") % {"first": first, "last": last}


def _day(ordinal: int) -> str:
    return date_format(date.fromordinal(ordinal))
