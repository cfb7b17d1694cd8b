"""The workshops that sign-in sheets name: found by day and venue, or recorded as held."""

from collections import Counter
from collections.abc import Iterable
from datetime import date

from django.utils.translation import gettext as _

from outreach.intake.hours import Start
from outreach.intake.results import Batch, RowResult
from outreach.intake.sign_in_sheets import SignIn
from outreach.intake.vocabulary import fold
from outreach.intake.workshops_meant import Meant, meant, note_start, part_in_words, which_workshop
from outreach.places.models import Jurisdiction, Venue
from outreach.places.serving import PlacesList
from outreach.places.venues import record_venue, venue_key
from outreach.workshops import planning
from outreach.workshops.models import Workshop

MOST_LIVE_THERE = 0.5
Occasion = tuple[date, str, str, Start, int | None]


class WorkshopsByOccasion:
    """Day, venue and city of a sheet → the workshop on record, made where there is none."""

    def __init__(self, batch: Batch, places: PlacesList) -> None:
        self._batch, self._places = batch, places
        self._venues = list(Venue.objects.all())
        self._where: dict[Occasion, Venue | int | None] = {}
        self._found: dict[Occasion, Workshop] = {}
        self._homes: dict[Occasion, Counter[int]] = {}
        self._asked: dict[Occasion, Meant] = {}

    def expect(self, stated: Iterable[tuple[RowResult, SignIn]]) -> None:
        """Note where the people of each sheet live: the last resort for where it was held."""
        for _row, fact in stated:
            if fact.place.jurisdiction_id:
                self._homes.setdefault(_key(fact), Counter())[fact.place.jurisdiction_id] += 1

    def can_tell(self, row: RowResult, fact: SignIn) -> bool:
        """Whether anything tells in which jurisdiction the workshop was; only looks, writes nothing."""
        key = _key(fact)
        if key not in self._where:
            self._where[key] = self._look_up(row, fact)
        if self._where[key] is None:
            row.not_read(_("City of the workshop: none is known. Say in which city the venue is."))
        elif self._meant(fact).is_doubtful:
            row.not_read(which_workshop())
        else:
            return True
        return False

    def of(self, row: RowResult, fact: SignIn) -> Workshop:
        """The workshop a row belongs to, made where there is none; ask `can_tell` first."""
        key = _key(fact)
        if key not in self._found:
            where = self._where[key]
            venue = where if isinstance(where, Venue) else self._new_venue(row, fact, where or 0)
            known = meant(fact, venue)
            self._found[key] = known.workshop or self._new_workshop(row, fact, venue)
            note_start(self._found[key], fact.start)
        return self._found[key]

    def _meant(self, fact: SignIn) -> Meant:
        """Which workshop on record a row means; asked once for each occasion."""
        key, where = _key(fact), self._where[_key(fact)]
        if key not in self._asked:
            self._asked[key] = meant(fact, where) if isinstance(where, Venue) else Meant()
        return self._asked[key]

    def _look_up(self, row: RowResult, fact: SignIn) -> Venue | int | None:
        """The venue on record or, for a new one, the number of its jurisdiction."""
        jurisdiction_id = self._places.resolve(fact.city, "").jurisdiction_id if fact.city else None
        venue = self._venue(fact.venue, jurisdiction_id)
        return venue or jurisdiction_id or self._where_most_live(row, fact)

    def _venue(self, name: str, jurisdiction_id: int | None) -> Venue | None:
        key = venue_key(name)
        fitting = [
            venue
            for venue in self._venues
            if venue.name_key == key and jurisdiction_id in {None, venue.jurisdiction_id}
        ]
        return fitting[0] if len(fitting) == 1 else None

    def _where_most_live(self, row: RowResult, fact: SignIn) -> int | None:
        homes = self._homes.get(_key(fact), Counter())
        if not homes:
            return None
        jurisdiction_id, people = homes.most_common(1)[0]
        if people <= MOST_LIVE_THERE * homes.total():
            return None
        row.doubt(_("City of the workshop: taken from where most people live. Correct the venue if wrong."))
        return jurisdiction_id

    def _new_venue(self, row: RowResult, fact: SignIn, jurisdiction_id: int) -> Venue:
        jurisdiction = Jurisdiction.objects.get(pk=jurisdiction_id)
        venue, is_new = record_venue(name=fact.venue[:160], jurisdiction=jurisdiction)
        if is_new:
            row.add(venue)
            if fact.is_venue_guessed:
                row.doubt(
                    _("Venue: only the file's name gives it, and none of that name was known. Check it.")
                )
        return venue

    def _new_workshop(self, row: RowResult, fact: SignIn, venue: Venue) -> Workshop:
        workshop = Workshop(
            held_on=fact.day,
            venue=venue,
            jurisdiction=venue.jurisdiction,
            state=Workshop.State.HELD,
            starts_at_time=fact.start.at,
            note=part_in_words(fact.start),
        )
        planning.add(workshop=workshop, by=self._batch.by, at=self._batch.at)  # type: ignore[arg-type]
        self._batch.counts["workshops"] += 1
        row.add(workshop)
        return workshop


def _key(fact: SignIn) -> Occasion:
    return (fact.day, fold(fact.venue), fold(fact.city), fact.start, fact.workshop_id)
