"""Phrases of the frozen report quarter by quarter, and about short tons, as templates for the catalogue."""

from django.utils.translation import gettext_noop as _

PHRASES = (
    _("tonnes"),
    _("Short tons by material, {}"),
    _("Short tons"),
    _("There is no estimate of short tons: {}"),
    _("What makes the spread of the short tons kept out of landfill"),
    _("Was composted before"),
    _(
        "Gases are in kilograms and in tonnes of 1000 kg, as accounts of greenhouse gases are, whatever the "
        "unit of the waste."
    ),
    _("Methane avoided over its lifetime, as warming"),
    _("From methane avoided to net warming avoided"),
    _("Bar chart, what is given off taken from what is avoided: {}"),
    _("Methane avoided over its lifetime, as warming {n} t CO2e"),
    _("Given off by composting itself {n} t CO2e"),
    _("Net warming avoided {n} t CO2e"),
    _("As filed"),
    _("With today's factors"),
    _("as filed"),
    _("with today's factors"),
    _("Kept out of landfill, quarter by quarter: as filed, and with today's factors"),
    _("Columns in pairs with intervals: {}"),
    _("{} as filed {n} t"),
    _("{} with today's factors {n} t"),
    _("{} as filed {n} short tons"),
    _("{} with today's factors {n} short tons"),
    _("No quarter has an estimate yet."),
    _(
        "With today's factors: the sums that each filing froze, worked out again with the factors, weigh-ins "
        "and settings of this filing."
    ),
    _(
        "A quarter without a range has no filing of its own: it is what other filings say of it, or what "
        "today's records give."
    ),
    _("From what went into bins to what is new, {}"),
    _("Went elsewhere, or to trash that is not landfilled"),
    _("From households that composted before, or did not say"),
    _("From households new to composting"),
    _("Bar chart, each part taken from what stands above it: {}"),
)
