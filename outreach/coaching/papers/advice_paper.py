"""Advice about one help request, on paper."""

from datetime import date
from typing import BinaryIO

from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from reportlab.platypus import Flowable, KeepTogether

from outreach.coaching import reaching
from outreach.coaching.advising import Advice
from outreach.coaching.models import HelpRequest
from outreach.post import paper


def write(advice: Advice, asked: HelpRequest, target: BinaryIO, *, on: date) -> None:
    """Write it in its language, for whoever asked."""
    with translation.override(advice.language):
        title = _("Advice for your compost bin")
        name = reaching.addressee_of(asked).name
        story: list[Flowable] = [paper.say(title, paper.TITLE)]
        story.append(paper.say(", ".join(filter(None, (name, date_format(on, "DATE_FORMAT")))), paper.SMALL))
        for heading, lines in advice.sections:
            story.append(KeepTogether([paper.say(heading, paper.HEADING), *paper.items(lines)]))
        paper.build(target, story, title=title, language=advice.language)
