"""Adding a version of the rule, and reading which holds where."""

from datetime import date

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins.eligibility import rule_in_words
from outreach.bins.models import Handout, RuleVersion
from outreach.bins.rule_book import RuleBook
from outreach.places.models import Jurisdiction


@transaction.atomic
def add_version(*, version: RuleVersion) -> RuleVersion:
    """Add a rule from a day on; days on which bins were already handed out under another are refused."""
    version.full_clean()
    handouts = Handout.objects.standing().from_day(version.in_force_from_on)
    if version.jurisdiction is not None:
        handouts = handouts.in_area_of(version.jurisdiction)
    count = handouts.count()
    if count:
        sentence = ngettext(
            "%(count)d bin was handed out since that day under the rule then in force. "
            "Let the new one begin later.",
            "%(count)d bins were handed out since that day under the rule then in force. "
            "Let the new one begin later.",
            count,
        )
        raise ValidationError({"in_force_from_on": sentence % {"count": count}})
    version.save()
    return version


def in_force_everywhere(on: date) -> list[tuple[str, str]]:
    """What holds on that day: in general, and where a jurisdiction has a rule of its own."""
    book = RuleBook.read()
    general = book.in_force(None, on)
    said = [(_("Every jurisdiction"), rule_in_words(general))]
    for jurisdiction in Jurisdiction.objects.all():
        rule = book.in_force(jurisdiction.pk, on)
        if rule.jurisdiction_id is not None:
            said.append((str(jurisdiction), rule_in_words(rule)))
    return said
