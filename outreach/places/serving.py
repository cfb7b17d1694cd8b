"""Which jurisdiction a city and ZIP belong to, as the places list says."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cached_property
from typing import Self, TypeVar

from outreach.places.city_names import city_key, without_state
from outreach.places.models import ServedPlace, Venue
from outreach.places.venues import venue_key
from outreach.places.zips import read_zip

Item = TypeVar("Item")
ABBREVIATED, SHORTENED = 2, 4  # fewest letters of 'Br.' and of 'Brac'


@dataclass(frozen=True, slots=True, kw_only=True)
class ResolvedPlace:
    """What a city and ZIP mean. `understood` is False where neither was given or both were unreadable:
    that is unknown, not outside."""

    jurisdiction_id: int | None = None
    city_name: str = ""
    zip_code: str = ""
    disagree: bool = False
    is_served: bool = False
    understood: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """One row of the places list."""

    jurisdiction_id: int
    city_name: str
    city_key: str
    zip_code: str


@dataclass
class PlacesList:
    """The places served, in memory: made once for a request or a file."""

    places: tuple[Place, ...] = ()
    _by_zip: dict[str, list[Place]] = field(default_factory=lambda: defaultdict(list), init=False)
    _by_city: dict[str, list[Place]] = field(default_factory=lambda: defaultdict(list), init=False)

    def __post_init__(self) -> None:
        for place in self.places:
            self._by_zip[place.zip_code].append(place)
            self._by_city[place.city_key].append(place)

    @classmethod
    def load(cls) -> Self:
        rows = ServedPlace.objects.values_list("jurisdiction_id", "city_name", "city_key", "zip_code")
        return cls(tuple(Place(*row) for row in rows))

    def with_listed(self, listed: Iterable[tuple[str, str]]) -> "PlacesList":
        """These places and others of which so far only city and ZIP are known, in jurisdictions to come."""
        to_come = (Place(0, city, city_key(city), zip_code) for city, zip_code in listed)
        known = {(place.city_key, place.zip_code) for place in self.places}
        new = tuple(place for place in to_come if (place.city_key, place.zip_code) not in known)
        return PlacesList(self.places + new)

    def knows_venue(self, name: str) -> bool:
        """A venue of that name is on record, in whichever city."""
        return bool(name) and venue_key(name) in self._venue_keys

    @cached_property
    def _venue_keys(self) -> frozenset[str]:
        """Read when first asked for: few who look up a place ask about venues."""
        return frozenset(Venue.objects.values_list("name_key", flat=True))

    def resolve(self, city: object, zip_code: object) -> ResolvedPlace:
        """Say where that is. The ZIP decides where the two disagree; a missing ZIP is filled in where
        the city has only one; a shortened city ('Brac.') is the one served city that begins so."""
        zip_five = read_zip(zip_code)
        name = without_state(" ".join(str(city if city is not None else "").split()))
        key = self._served_key(name)
        if zip_five:
            return self._by_its_zip(zip_five, name, key)
        if not city_key(name):
            return ResolvedPlace()
        return self._by_its_city(name, key)

    def city_named(self, text: str) -> str:
        """The served city that a text names, in full or shortened, as the places list writes it; or ''."""
        key = self._served_key(text)
        return self._by_city[key][0].city_name if key else ""

    def _by_its_zip(self, zip_code: str, name: str, key: str) -> ResolvedPlace:
        there = self._by_zip.get(zip_code, [])
        named = [place for place in there if place.city_key == key]
        fitting = named or there
        if not fitting:
            return ResolvedPlace(city_name=name, zip_code=zip_code, disagree=bool(key), understood=True)
        jurisdictions = _distinct(place.jurisdiction_id for place in fitting)
        cities = _distinct(place.city_name for place in fitting)
        return ResolvedPlace(
            jurisdiction_id=jurisdictions[0] if len(jurisdictions) == 1 else None,
            city_name=cities[0] if len(cities) == 1 else name,
            zip_code=zip_code,
            disagree=bool(city_key(name)) and not named,
            is_served=True,
            understood=True,
        )

    def _by_its_city(self, name: str, key: str) -> ResolvedPlace:
        fitting = self._by_city[key] if key else []
        if not fitting:
            return ResolvedPlace(city_name=name, understood=True)
        jurisdictions = _distinct(place.jurisdiction_id for place in fitting)
        zips = _distinct(place.zip_code for place in fitting)
        return ResolvedPlace(
            jurisdiction_id=jurisdictions[0] if len(jurisdictions) == 1 else None,
            city_name=fitting[0].city_name,
            zip_code=zips[0] if len(zips) == 1 else "",
            is_served=True,
            understood=True,
        )

    def _served_key(self, text: str) -> str:
        """The key of the one served city that the text names or begins; '' for none or several."""
        key = city_key(text)
        if not key or key in self._by_city:
            return key if key in self._by_city else ""
        fewest = ABBREVIATED if "." in text else SHORTENED
        if len(key.replace(" ", "")) < fewest:
            return ""
        begun = [full for full in self._by_city if full and _begins(key, full)]
        return begun[0] if len(begun) == 1 else ""


def _begins(short: str, full: str) -> bool:
    """'BRAC' begins 'BRACKENFORD'; 'OSP LDG' does not, 'OSP LAND' begins 'OSPREY LANDING'."""
    parts, words = short.split(), full.split()
    return len(parts) <= len(words) and all(
        word.startswith(part) for part, word in zip(parts, words, strict=False)
    )


def _distinct(values: Iterable[Item]) -> list[Item]:
    return list(dict.fromkeys(values))
