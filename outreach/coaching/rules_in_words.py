"""Local rules as sentences for residents, in the language of whoever reads."""

from collections.abc import Iterator

from django.utils.formats import date_format
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from outreach.coaching.models import LocalRules

SPANISH = "es"


def sentences(rules: LocalRules) -> list[str]:
    """What the jurisdiction asks, whom to call, and where that was read; the code itself comes first."""
    return [*_distances(rules), *_bins(rules), *_vector_control(rules), source_of(rules)]


def what_is_asked(rules: LocalRules) -> list[str]:
    """Only what is asked of the bin: distances, number, place."""
    return [*_distances(rules), *_bins(rules)]


def source_of(rules: LocalRules) -> str:
    """Where and when the rules were read, and that the code itself decides."""
    return _("Read on %(day)s in: %(source)s. The code itself decides; ask before you place a bin.") % {
        "day": date_format(rules.checked_on, "DATE_FORMAT"),
        "source": rules.source,
    }


def vector_control(rules: LocalRules) -> str:
    """Who answers for rats and flies, with their phone; '' where nobody looked it up."""
    return ", ".join(filter(None, (rules.vector_control_name, rules.vector_control_phone)))


def _distances(rules: LocalRules) -> Iterator[str]:
    feet = (
        (rules.lot_line_feet, _("At least %(feet)d feet from the lot line.")),
        (rules.dwelling_feet, _("At least %(feet)d feet from a neighbour's dwelling.")),
        (rules.water_feet, _("At least %(feet)d feet from a stream, well or pond.")),
    )
    yield from (words % {"feet": number} for number, words in feet if number)


def _bins(rules: LocalRules) -> Iterator[str]:
    if rules.most_bins:
        words = ngettext("No more than %(count)d bin.", "No more than %(count)d bins.", rules.most_bins)
        yield words % {"count": rules.most_bins}
    if rules.placement:
        is_spanish = (get_language() or "").startswith(SPANISH)
        place = rules.placement_es if is_spanish else rules.placement
        yield _("Where it may stand: %(place)s.") % {"place": place.rstrip(".")}


def _vector_control(rules: LocalRules) -> Iterator[str]:
    if who := vector_control(rules):
        yield _("For rats and flies, call %(who)s.") % {"who": who}
