"""Which workshop on record a sheet means where a venue may have had two on one day; asked where that is not sure."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from outreach.intake.hours import Start, parts_of
from outreach.intake.models import IntakeMade
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.titles import Occasion
from outreach.places.models import Venue
from outreach.workshops.models import Registration, Workshop

# Doors open before a class begins; common practice, no source.
ONE_AND_THE_SAME = timedelta(minutes=45)


@dataclass(frozen=True, slots=True, kw_only=True)
class Meant:
    """The workshop on record; none where it is a new one, doubtful where a person has to say which."""

    workshop: Workshop | None = None
    is_doubtful: bool = False


DOUBTFUL = Meant(is_doubtful=True)


def which_workshop() -> str:
    return _("Workshop: that day had, or may have had, two at this venue. Say which one, or when it started.")


def meant(fact: SignIn, venue: Venue) -> Meant:
    """Look up what the sheet of a row means. The same sheet twice is one workshop; two hours are two."""
    there = Workshop.objects.on_day_at(fact.day, venue).order_by("starts_at_time", "pk")
    chosen = [one for one in Workshop.objects.of_ids([fact.workshop_id or 0]) if one.held_on == fact.day]
    if chosen:
        return Meant(workshop=chosen[0])
    held = [one for one in there if one.state != Workshop.State.CANCELLED]
    if not held:
        return Meant(workshop=there.first())
    if not fact.start:
        return Meant(workshop=held[0]) if len(held) == 1 else DOUBTFUL
    return _at_that_hour(fact.start, held)


def _at_that_hour(start: Start, held: Sequence[Workshop]) -> Meant:
    """By the hour, then by the part of the day; one whose hour nobody noted may be any."""
    if start.at and (near := [one for one in held if _is_near(one.starts_at_time, start.at)]):
        return Meant(workshop=min(near, key=lambda one: _apart(one.starts_at_time, start.at)))
    parts = _parts_said_by_paper(held)
    unsaid = [one for one in held if one.starts_at_time is None]
    if start.part:
        unsaid += [one for one in held if one.starts_at_time is not None]
    said = frozenset({start.part}) if start.part else parts_of(start.at)  # type: ignore[arg-type]
    fitting = [one for one in unsaid if _parts(one, parts) & said]
    if fitting:
        return Meant(workshop=fitting[0]) if len(fitting) == 1 else DOUBTFUL
    open_to_all = [one for one in unsaid if not _parts(one, parts)]
    if not open_to_all:
        return Meant()
    came = Registration.objects.filter(workshop__in=open_to_all).who_came()
    return DOUBTFUL if len(open_to_all) > 1 or came.exists() else Meant(workshop=open_to_all[0])


def _parts(workshop: Workshop, said_by_paper: dict[int, str]) -> frozenset[str]:
    if workshop.starts_at_time is not None:
        return parts_of(workshop.starts_at_time)
    said = said_by_paper.get(workshop.pk)
    return frozenset({said}) if said else frozenset()


def _parts_said_by_paper(held: Iterable[Workshop]) -> dict[int, str]:
    """'Afternoon' and the like, as the sheets said from which workshops were recorded."""
    made = IntakeMade.objects.filter(workshop__in=[one.pk for one in held]).select_related("row__file")
    parts = {}
    for one in made:
        for sheet in one.row.file.reading["sheets"]:
            if sheet["name"][:120] == one.row.sheet and one.workshop_id and sheet.get("part_of_day"):
                parts[one.workshop_id] = sheet["part_of_day"]
    return parts


def _is_near(one: time | None, other: time) -> bool:
    return one is not None and _apart(one, other) <= ONE_AND_THE_SAME


def _apart(one: time | None, other: time | None) -> timedelta:
    """Between two hours of one day."""
    day = date(2000, 1, 1)
    return abs(datetime.combine(day, one or time()) - datetime.combine(day, other or time()))


def note_start(workshop: Workshop, start: Start) -> None:
    """Complete the hour of a workshop of which nobody noted one, where that contradicts nothing."""
    if start.at is None or workshop.starts_at_time is not None or workshop.is_settled:
        return
    workshop.starts_at_time = start.at
    try:
        workshop.full_clean()
    except ValidationError:
        workshop.starts_at_time = None
        return
    workshop.save(update_fields=["starts_at_time"])


def part_in_words(start: Start) -> str:
    """For people, beside a workshop whose hour is not known."""
    words = {
        "morning": _("In the morning, as its sheet says."),
        "afternoon": _("In the afternoon, as its sheet says."),
        "evening": _("In the evening, as its sheet says."),
    }
    return words.get(start.part, "")


def choices_on(occasion: Occasion) -> list[tuple[int, str]]:
    """The workshops on record on a day, to choose from."""
    if occasion.held_on is None:
        return []
    there = Workshop.objects.held_between(occasion.held_on, occasion.held_on).with_names()
    return [(one.pk, _in_words(one)) for one in there.order_by("venue__name", "starts_at_time", "pk")]


def _in_words(workshop: Workshop) -> str:
    hour = f", {workshop.starts_at_time:%H:%M}" if workshop.starts_at_time else ""
    note = f" ({workshop.note})" if workshop.note and not hour else ""
    return f"{workshop}{hour}{note}"
