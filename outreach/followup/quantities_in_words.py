"""Amounts of an answer as a person reads them, per week, by volume or by weight as they were said."""

from django.utils.formats import number_format
from django.utils.translation import gettext as _

from diversion.quantities import Material
from outreach.followup.models import Answer

PER_THOUSAND = 1000


def in_words(answer: Answer) -> str:
    """'food 4.0 L, yard 7.5 L a week'; empty where nothing was said or nothing is composted."""
    if not answer.is_active:
        return ""
    amounts = {
        _("food"): amount_in_words(answer, Material.FOOD),
        _("yard"): amount_in_words(answer, Material.YARD),
    }
    said = ", ".join(f"{material} {amount}" for material, amount in amounts.items() if amount)
    return _("%(amounts)s a week") % {"amounts": said} if said else ""


def amount_in_words(answer: Answer, material: Material) -> str:
    """'4.0 L' or '1.4 kg'; empty where it was not said."""
    millilitres = getattr(answer, f"{material}_ml_per_week")
    grams = getattr(answer, f"{material}_g_per_week")
    if millilitres is not None:
        return f"{number_format(millilitres / PER_THOUSAND, 1)} L"
    return "" if grams is None else f"{number_format(grams / PER_THOUSAND, 1)} kg"
