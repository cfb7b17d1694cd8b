"""The containers and units of volume that people answer in, each with its size and where that is from.

A table. A programme adds its own with `ContainerTable.with_container`; its words win over the standard ones.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from diversion.conversions import (
    LITRES_PER_CUBIC_FOOT,
    LITRES_PER_CUBIC_METRE,
    LITRES_PER_CUBIC_YARD,
    LITRES_PER_US_GALLON,
)
from diversion.errors import DiversionError, require_within
from diversion.factors.published import Status
from diversion.materials import Material

DEFINITION = "definition of the unit"
COMMON = "common practice, no source"
NOMINAL = "nominal size in the name"
EVERY_MATERIAL = frozenset(Material)
YARD_AND_BROWNS = frozenset({Material.YARD, Material.BROWNS})


class ContainerTaken(DiversionError):
    """A container of that key is in the table already, with another size."""

    def __init__(self, *, key: str) -> None:
        self.key = key
        super().__init__(f"There is a container {key!r} already. Give the new one a key of its own.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Container:
    """Something that people count when asked how much: a vessel with a usual size, or a unit of volume.

    Parameters
    ----------
    key : str
        Stable name, stored with answers.
    name : str
        One of it, in words for a person.
    litres : float
        Volume, above 0. [L]
    words : tuple of str
        What people call it, lower case without accents, singular first, in English and Spanish.
    source : str
        Where the size is from.
    status : Status
    materials : frozenset of Material
        For which materials the words mean this container.
    is_unit : bool
        Whether it is a unit of volume and not a vessel.
    """

    key: str
    name: str
    litres: float
    words: tuple[str, ...]
    source: str
    status: Status
    materials: frozenset[Material] = EVERY_MATERIAL
    is_unit: bool = False

    def __post_init__(self) -> None:
        require_within(f"litres of {self.name}", self.litres, 1e-6)


@dataclass(frozen=True, slots=True)
class ContainerTable:
    """The containers in force, later ones winning where two claim the same word."""

    containers: tuple[Container, ...]

    def __getitem__(self, key: str) -> Container:
        """The container of that key; KeyError where there is none."""
        return {container.key: container for container in self.containers}[key]

    def words_for(self, material: Material) -> dict[tuple[str, ...], Container]:
        """What each word, or run of words, means for the material."""
        return {
            tuple(phrase.split()): container
            for container in self.containers
            if material in container.materials
            for phrase in container.words
        }

    def with_container(
        self,
        *,
        key: str,
        name: str,
        litres: float,
        words: Iterable[str] = (),
        source: str = "the programme's own",
    ) -> "ContainerTable":
        """A new table with one container more, such as the pail that a programme hands out.

        Parameters
        ----------
        key, name, litres, source
            As for `Container`.
        words : iterable of str
            What people call it besides its name.

        Raises
        ------
        ContainerTaken, OutOfRange
        """
        if any(container.key == key for container in self.containers):
            raise ContainerTaken(key=key)
        said = tuple(dict.fromkeys(word.lower() for word in (name, f"{name}s", *words)))
        own = Container(key=key, name=name, litres=litres, words=said, source=source, status=Status.ASSUMED)
        return ContainerTable((*self.containers, own))

    def as_table(self) -> tuple[tuple[str, ...], ...]:
        """Rows of text for a document, heading first: key, name, litres, source, checked."""
        rows = ((c.key, c.name, f"{c.litres:g}", c.source, str(c.status)) for c in self.containers)
        return (("key", "container", "litres", "source", "checked"), *rows)


def _said(words: str) -> tuple[str, ...]:
    return tuple(words.split(","))


def _unit(key: str, litres: float, words: str) -> Container:
    return Container(
        key=key,
        name=key.replace("-", " "),
        litres=litres,
        words=_said(words),
        source=DEFINITION,
        status=Status.SEEN,
        is_unit=True,
    )


_GALLON = LITRES_PER_US_GALLON

STANDARD = ContainerTable(
    (
        _unit("gallon", _GALLON, "gallon,gallons,gal,gals,gl,galon,galones"),
        _unit("half-gallon", _GALLON / 2, "half gallon,half gallons,medio galon,medios galones"),
        _unit("quart", _GALLON / 4, "quart,quarts,qt,qts,cuarto,cuartos"),
        _unit("pint", _GALLON / 8, "pint,pints,pt,pts,pinta,pintas"),
        _unit("cup", _GALLON / 16, "cup,cups,taza,tazas"),
        _unit("fluid-ounce", _GALLON / 128, "fluid ounce,fluid ounces,fl oz"),
        _unit("bushel", 35.23907016688, "bushel,bushels"),
        _unit("litre", 1.0, "litre,litres,liter,liters,l,lt,lts,litro,litros"),
        _unit("millilitre", 0.001, "millilitre,millilitres,milliliter,milliliters,ml,mililitro,mililitros"),
        _unit("cubic-metre", LITRES_PER_CUBIC_METRE, "cubic metre,cubic metres,cubic meter,cubic meters,m3"),
        _unit(
            "cubic-yard",
            LITRES_PER_CUBIC_YARD,
            "cubic yard,cubic yards,cu yd,cu yds,cu yard,cu yards,yd3,cuyd,cuyds,cy,yard,yards,yd,yds,"
            "yarda,yardas,yarda cubica,yardas cubicas",
        ),
        _unit(
            "cubic-foot",
            LITRES_PER_CUBIC_FOOT,
            "cubic foot,cubic feet,cu ft,ft3,cuft,cf,pie cubico,pies cubicos",
        ),
        Container(
            key="kitchen-pail",
            name="kitchen pail",
            litres=_GALLON,
            words=_said(
                "kitchen pail,kitchen pails,pail,pails,caddy,caddies,kitchen caddy,kitchen caddies,"
                "countertop pail,countertop pails,counter pail,counter pails,compost pail,"
                "compost pails"
            ),
            source=f"one US gallon: {COMMON}",
            status=Status.ASSUMED,
        ),
        Container(
            key="five-gallon-bucket",
            name="5-gallon bucket",
            litres=5 * _GALLON,
            words=("bucket", "buckets", "cubeta", "cubetas", "balde", "baldes", "cubo", "cubos"),
            source=NOMINAL,
            status=Status.ASSUMED,
        ),
        Container(
            key="barrel",
            name="32-gallon barrel",
            litres=32 * _GALLON,
            words=_said(
                "barrel,barrels,trash barrel,trash barrels,garbage can,garbage cans,trash can,"
                "trash cans,barril,barriles,bote de basura,botes de basura"
            ),
            source=NOMINAL,
            status=Status.ASSUMED,
        ),
        Container(
            key="paper-yard-bag",
            name="paper yard bag",
            litres=30 * _GALLON,
            words=_said(
                "bag,bags,paper bag,paper bags,yard bag,yard bags,paper yard bag,paper yard bags,"
                "leaf bag,leaf bags,lawn bag,lawn bags,yard waste bag,yard waste bags,bolsa,bolsas,"
                "bolsa de papel,bolsas de papel"
            ),
            source=f"30 US gallons: {COMMON}",
            status=Status.ASSUMED,
            materials=YARD_AND_BROWNS,
        ),
        Container(
            key="wheelbarrow",
            name="wheelbarrow",
            litres=6 * LITRES_PER_CUBIC_FOOT,
            words=_said("wheelbarrow,wheelbarrows,wheelbarrow load,wheelbarrow loads,carretilla,carretillas"),
            source=f"six cubic feet: {COMMON}",
            status=Status.ASSUMED,
            materials=YARD_AND_BROWNS,
        ),
    )
)

# 'Less than one container', said without naming it: the smallest that the question offers.
SMALLEST_OFFERED = {
    Material.FOOD: "half-gallon",
    Material.YARD: "five-gallon-bucket",
    Material.BROWNS: "five-gallon-bucket",
}
