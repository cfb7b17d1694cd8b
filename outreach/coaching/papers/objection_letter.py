"""A letter to whoever objects to a bin, in English and in Spanish, with the rules of the place. It defers to them."""

from collections.abc import Iterator
from datetime import date
from typing import BinaryIO

from django.conf import settings
from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from reportlab.platypus import Flowable, PageBreak

from outreach.coaching import rules_in_words
from outreach.coaching.models import HelpRequest, LocalRules
from outreach.post import paper

Objector = HelpRequest.Objector

TO_WHOM = {
    Objector.NEIGHBOUR: gettext_lazy("To the neighbours"),
    Objector.ASSOCIATION: gettext_lazy("To the homeowners' association"),
    Objector.LANDLORD: gettext_lazy("To the owner or manager of the property"),
    "": gettext_lazy("To whom it may concern"),
}
ABOUT = {
    Objector.NEIGHBOUR: gettext_lazy(
        "If something about it bothers you, please tell us what and when: smell, flies or animals are signs of a "
        "bin that needs a change, and we help the household to make it."
    ),
    Objector.ASSOCIATION: gettext_lazy(
        "Where your covenants or rules say more than the code, they hold. We ask you to tell the household which "
        "rule applies, and what kind of bin, and which place, would be acceptable."
    ),
    Objector.LANDLORD: gettext_lazy(
        "Where the lease says more than the code, it holds. We ask you to tell the household where a bin may stand; "
        "a closed bin with a floor can stand on paving and leaves no trace."
    ),
}


def write(asked: HelpRequest, rules: LocalRules | None, target: BinaryIO, *, on: date) -> None:
    """Write the letter, each language on a page of its own."""
    story: list[Flowable] = []
    for code, _name in settings.LANGUAGES:
        with translation.override(code):
            story += [*([PageBreak()] if story else []), *_page(asked, rules, on)]
    with translation.override(None):
        paper.build(target, story, title="Letter about a compost bin", language="en")


def _page(asked: HelpRequest, rules: LocalRules | None, on: date) -> Iterator[Flowable]:
    yield paper.say(date_format(on, "DATE_FORMAT"), paper.SMALL)
    yield paper.say(TO_WHOM.get(asked.objector, TO_WHOM[""]))
    yield paper.say(_("A compost bin at home"), paper.TITLE)
    if asked.household is not None:
        yield paper.say(_("At: %(address)s") % {"address": asked.household})
    yield paper.say(
        _(
            "The household takes part in our home composting programme. It keeps scraps of fruit and vegetables and "
            "trimmings of the garden in a bin, so that they become compost and stay out of the trash."
        )
    )
    yield paper.say(_("What a well kept bin is like"), paper.HEADING)
    yield from paper.items(
        [
            _("It smells of earth. Food is buried and covered with dry leaves each time."),
            _("No meat, fish, dairy, fat or waste of animals goes in."),
            _("It is kept closed, moist and turned; where there are rats, it is screened with mesh."),
        ]
    )
    if asked.objector in ABOUT:
        yield paper.say(ABOUT[Objector(asked.objector)])
    yield paper.say(_("The rules here"), paper.HEADING)
    yield from _rules(rules)
    yield paper.say(
        _(
            "This letter is information and no legal advice. The code of the city or county, and whoever enforces it, "
            "decide."
        ),
        paper.SMALL,
    )


def _rules(rules: LocalRules | None) -> Iterator[Flowable]:
    if rules is None:
        yield paper.say(_("Please ask the city or county which rules apply at this address."))
        return
    yield paper.say(_("Rules in %(town)s") % {"town": rules.jurisdiction})
    yield from paper.items(rules_in_words.sentences(rules))
