"""The sheet for whoever visits: addresses in the order of the way, what to look for, boxes to tick; no answers."""

import re
from collections.abc import Iterable, Iterator
from typing import BinaryIO

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from reportlab.lib.units import inch
from reportlab.platypus import Flowable

from outreach.followup.models import SiteCheck, SiteCheckList
from outreach.households.models import Household
from outreach.post import paper
from outreach.post.paper_tables import Box, ruled

ROW = 0.5 * inch
NUMBER = re.compile(r"\d+")
BOX = 11
WIDTHS = [2.3 * inch, *[0.66 * inch] * 5, 0.7 * inch, 0.7 * inch]


def in_order_of_the_way(checks: Iterable[SiteCheck]) -> list[SiteCheck]:
    """By ZIP, then street, then house number as a number, then unit."""
    return sorted(checks, key=lambda one: _way(one.household))


def _way(home: Household) -> tuple[str, str, int, str, str]:
    number, _blank, street = home.street_key.partition(" ")
    if not (found := NUMBER.match(number)):
        return home.zip_code, home.street_key, 0, home.unit_key, home.street_key
    return home.zip_code, street, int(found[0]), home.unit_key, home.street_key


def write(drawn: SiteCheckList, checks: Iterable[SiteCheck], target: BinaryIO) -> None:
    """Write the list as pages; what households have answered is on none of them, so that the visitor is blind."""
    paper.build(target, list(_story(drawn, in_order_of_the_way(checks))), title=drawn.name, language="en")


def _story(drawn: SiteCheckList, checks: list[SiteCheck]) -> Iterator[Flowable]:
    yield paper.say(drawn.name, paper.TITLE)
    yield paper.say(
        _("%(homes)s households. Visitor: ____________________  Day: ____________") % {"homes": len(checks)}
    )
    yield from paper.items(_what_to_look_for())
    yield paper.say("", paper.CLOSE)
    yield ruled(
        [
            _("Address"),
            _("In use"),
            _("Not in use"),
            _("Not found"),
            _("Nobody home"),
            _("Declined"),
            _("Morning"),
            _("Afternoon"),
        ],
        [[_address(check.household), *[Box(BOX) for _box in range(5)], "", ""] for check in checks],
        widths=WIDTHS,
        row_height=ROW,
    )
    yield paper.say(
        _("List drawn on %(day)s. Keep this sheet with you and shred it when it is entered.")
        % {"day": date_format(drawn.drawn_on, "DATE_FORMAT")},
        paper.SMALL,
    )


def _what_to_look_for() -> list[str]:
    return [
        _(
            "Ask at the door first. Go no further than you are shown; a household may decline without a reason."
        ),
        _(
            "In use: material is in the bin, and some of it was put in lately: not yet brown, warm, or still moist."
        ),
        _("Not in use: empty, dried out or overgrown, still in its box, or used for something else."),
        _("Nobody home in the morning: come again in the afternoon. Write the time in its column."),
        _("Do not ask how much they compost, and note nothing about the people. Mind dogs, steps and wasps."),
    ]


def _address(home: Household) -> str:
    place = f"{home.city_name} {home.zip_code}".strip()
    return f"{home}\n{place}" if place else str(home)
