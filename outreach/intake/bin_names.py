"""Kinds of bins as paperwork names them → the bin models on record, or what a new one would be."""

import re
from collections.abc import Iterable
from dataclasses import dataclass

from diversion.quantities import litres_from_name
from outreach.bins.models import BinModel
from outreach.intake.vocabulary import entries_in, fold, sign_in, words_of

_DASHES = re.compile(r"[\s\-–—_./~·•]+")
SAYS_NOTHING = frozenset(
    {"bin", "a", "the", "compost", "composter", "compostera", "gal", "gallon", "gallons"}
)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewModel:
    """A bin model that paperwork names and nobody has recorded; a person confirms it later."""

    name: str
    family: str
    litres: int | None


def family_of(name: str) -> str:
    """The family a name tells, '' where it tells none."""
    found = entries_in("families", name)
    return found[0][0] if found else ""


def is_yes(text: str) -> bool:
    return sign_in(text) in words_of("signs", "yes")


def is_no(text: str) -> bool:
    """A dash or the like says no; a picture that nobody has told us of says nothing."""
    return bool(text.strip()) and (sign_in(text) in words_of("signs", "no") or bool(_DASHES.fullmatch(text)))


class BinNames:
    """The bin models on record, and those this batch of paperwork adds, found by how they are written."""

    def __init__(self, models: Iterable[BinModel]) -> None:
        self._known: dict[str, BinModel | NewModel] = {fold(model.name): model for model in models}
        self._families = {key: model.family for key, model in self._known.items()}

    @classmethod
    def load(cls) -> "BinNames":
        return cls(BinModel.objects.all())

    def find(self, said: str) -> BinModel | NewModel | None:
        """The one model meant by these words; none where that cannot be told."""
        key = fold(said)
        if key in self._known:
            return self._known[key]
        if not key:
            return next(iter(self._known.values())) if len(self._known) == 1 else None
        words = set(key.split()) - SAYS_NOTHING
        fitting = [name for name in self._known if words and words <= set(name.split())]
        if len(fitting) == 1:
            return self._known[fitting[0]]
        family = family_of(said)
        related = [name for name, other in self._families.items() if other == family]
        if family and len(related) == 1 and not _names_a_size(key):
            return self._known[related[0]]
        return None if not family or (related and not _names_a_size(key)) else self.add(said)

    def add(self, said: str) -> BinModel | NewModel | None:
        """Remember a kind nobody has recorded; none where its name tells no family."""
        key, family = fold(said), family_of(said)
        if key not in self._known and family:
            litres = litres_from_name(said)
            self._known[key] = NewModel(
                name=" ".join(said.split())[:120], family=family, litres=round(litres) if litres else None
            )
            self._families[key] = family
        return self._known.get(key)

    def now_recorded(self, model: BinModel) -> None:
        """A model first met in this batch has been saved."""
        self._known[fold(model.name)] = model

    def names_a_bin(self, said: str) -> bool:
        """Whether these words name a kind of bin at all."""
        return bool(family_of(said)) or fold(said) in self._known


def _names_a_size(key: str) -> bool:
    return any(word.isdigit() for word in key.split())
