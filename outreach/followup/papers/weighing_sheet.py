"""The sheet on which a home writes, week by week, how many containers it filled and what the scale showed."""

from collections.abc import Iterator, Sequence
from typing import BinaryIO

from django.conf import settings
from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from reportlab.lib.units import inch
from reportlab.platypus import Flowable, PageBreak

from outreach.followup.models import WeighIn
from outreach.post import paper
from outreach.post.paper_tables import ruled

# Rows fill the page as far as the season lets them, so that the days of a week find room.
LEAST_ROW, MOST_ROW, ROOM = 0.4 * inch, 1.1 * inch, 5.4 * inch
WIDTHS = [1.72 * inch, *[1.32 * inch] * 4]
LANGUAGES = [code for code, _name in settings.LANGUAGES]


def write(homes: Sequence[WeighIn], target: BinaryIO) -> None:
    """One page each, or more for a long season, in the language of the household; in all where it is not known."""
    story: list[Flowable] = []
    for home in homes:
        for code in _languages_of(home):
            with translation.override(code):
                story += [*([PageBreak()] if story else []), *_page(home)]
    spoken = {code for home in homes for code in _languages_of(home)}
    paper.build(
        target, story, title="Weighing sheets", language=spoken.pop() if len(spoken) == 1 else LANGUAGES[0]
    )


def _languages_of(home: WeighIn) -> list[str]:
    return [home.household.language] if home.household.language in LANGUAGES else LANGUAGES


def _page(home: WeighIn) -> Iterator[Flowable]:
    season = home.season
    yield paper.say(f"{home.code} · {home.household}", paper.SMALL)
    yield paper.say(_("What goes into your compost bin, weighed"), paper.TITLE)
    yield paper.say(
        _("From %(first)s to %(last)s. Thank you for weighing.")
        % {
            "first": date_format(season.from_on, "DATE_FORMAT"),
            "last": date_format(season.until_on, "DATE_FORMAT"),
        }
    )
    yield from paper.items(_how())
    yield paper.say("", paper.CLOSE)
    yield _table(home)
    yield paper.say("", paper.CLOSE)
    yield paper.say(
        _("Lift with your knees, and split what is heavy. Wash your hands afterwards."), paper.SMALL
    )
    yield paper.say(
        _("We use the sheet to learn how heavy a full container is. No name is printed with the figures."),
        paper.SMALL,
    )


def _table(home: WeighIn) -> Flowable:
    head = [
        _("Week"),
        _("Food scraps: how many containers, and which"),
        _("Food scraps: on the scale"),
        _("Yard trimmings: how many containers, and which"),
        _("Yard trimmings: on the scale"),
    ]
    height = max(LEAST_ROW, min(MOST_ROW, ROOM / home.season.weeks))
    rows = [[_week(home, number), "", "", "", ""] for number in range(1, home.season.weeks + 1)]
    return ruled(head, rows, widths=WIDTHS, row_height=height)


def _how() -> list[str]:
    return [
        _(
            "Before you look at the scale, write down how full your container is, as you would tell us on the phone."
        ),
        _("Then weigh it. Weigh the empty container once and take its weight off, or press 'tare'."),
        _("Write kg or lb beside each weight. Add up the days of a week, or write them side by side."),
        _("Nothing that week? Write 0. Forgot to weigh? Leave it empty: an empty week is no mistake."),
    ]


def _week(home: WeighIn, number: int) -> str:
    begins = home.season.week_begins_on(number)
    return f"{number}: {date_format(begins, 'MONTH_DAY_FORMAT')}"
