"""What came of rows, in words and with the pages of the records that were made."""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django.db.models import Model
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from outreach.bins.models import BinModel, Handout, StockMovement
from outreach.followup.models import Answer
from outreach.households.models import Household, Participant
from outreach.intake.models import IntakeMade, PaperworkRow
from outreach.intake.results import COUNTED
from outreach.places.models import Jurisdiction, ServedPlace, Venue
from outreach.workshops.models import Registration, Workshop

WORDS: Mapping[str, str | Promise] = {
    "workshops": _("workshops recorded"),
    "attendances": _("people at workshops"),
    "came_along": _("people who came along with them and are on no list"),
    "people": _("people new to the records"),
    "households": _("households new to the records"),
    "handouts": _("bins that went home"),
    "second_bins": _("of them for a household that already had one"),
    "outside_area": _("people at workshops from places not served"),
    "answers": _("answers"),
    "answers_active": _("of them still composting"),
    "answers_repeated": _("answers sent again"),
    "for_review": _("rows for a person to look at"),
    "already_known": _("rows that were already recorded"),
}


@dataclass(frozen=True, slots=True)
class Made:
    """A record that a row made: what it is and where its page is."""

    words: str | Promise
    url: str


def count_lines(counts: Mapping[str, int]) -> list[tuple[int, str | Promise]]:
    """The counts that are not nothing, with their words."""
    return [(counts[name], WORDS[name]) for name in COUNTED if counts.get(name)]


def made_of(rows: Iterable[PaperworkRow]) -> dict[int, list[Made]]:
    """The records these rows made, by the number of the row, in the order in which they were made."""
    made: dict[int, list[Made]] = defaultdict(list)
    for one in IntakeMade.objects.of_rows(rows):
        made[one.row_id].append(_described(one.record))
    return made


def _described(record: Model) -> Made:
    words, url_name, number = _PAGES[type(record)](record)
    return Made(words, reverse(url_name, args=[number] if number else []))


_PAGES: Mapping[type[Model], Callable[[Any], tuple[str | Promise, str, int | None]]] = {
    Registration: lambda one: (_("attendance"), "workshop", one.workshop_id),
    Workshop: lambda one: (_("workshop"), "workshop", one.pk),
    Handout: lambda one: (_("bin"), "handout", one.pk),
    Answer: lambda one: (_("answer"), "answer", one.pk),
    Household: lambda one: (_("household"), "household", one.pk),
    Participant: lambda one: (_("person"), "household", one.household_id),
    StockMovement: lambda one: (_("stock movement"), "movements", None),
    BinModel: lambda one: (_("bin model"), "bin_model", one.pk),
    Venue: lambda one: (_("venue"), "venue", one.pk),
    ServedPlace: lambda one: (_("place served"), "served_places", None),
    Jurisdiction: lambda one: (_("jurisdiction"), "jurisdiction", one.pk),
}
