"""Which kinds of bin suit a place, and why: rules in sentences.

Pure: no Django. The keys of `Family` are those of the programme's bin models. Sentences are English; pages
translate them. Where a rule has no page to point to it is common practice.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum


class Ground(StrEnum):
    """What the bin would stand on."""

    SOIL = "soil"
    GRASS = "grass"
    GRAVEL = "gravel"
    PAVED = "paved"
    BALCONY = "balcony"


class Sun(StrEnum):
    """How much sun the place has."""

    SUN = "sun"
    PART = "part"
    SHADE = "shade"


class Space(StrEnum):
    """Room for less than a 3-foot square, for one, or for two side by side."""

    SMALL = "small"
    ONE = "one"
    TWO = "two"


class Family(StrEnum):
    """Kinds of bin; `NONE` is a heap without one."""

    RIGID = "rigid"
    LIDDED_CAN = "lidded_can"
    TUMBLER = "tumbler"
    WORM_BOX = "worm_box"
    MESH = "mesh"
    WIRE_HOOP = "wire_hoop"
    TIMBER = "timber"
    NONE = "none"


class Verdict(StrEnum):
    """From best to worst."""

    SUITS = "suits"
    WITH_CARE = "with_care"
    NOT_HERE = "not_here"


class Reason(StrEnum):
    """Why; the value is the sentence that the resident reads."""

    DRAINS = (
        "It is open at the bottom: water drains and worms come in. Soil, grass or gravel is right for it."
    )
    NO_DRAIN = "It is open at the bottom, and paving does not let water drain or worms in."
    FLOOR = "On paving it needs a floor or a fine screen, and a layer of twigs and old compost to start it."
    OWN_FLOOR = "It has a floor of its own, so it can stand on paving."
    DRILLED = "A can with a lid, drilled all around and below, stands on bricks with a tray under it."
    HOOP = "Quickly made and cheap; good for leaves and garden trimmings."
    OPEN_TO_ANIMALS = (
        "Food in an open bin draws rats and raccoons. Use it for garden trimmings, or put food elsewhere."
    )
    LID = "Its lid keeps food from animals and rain out; screen it below where there are rats."
    WANTS_ROOM = "It needs a place about 3 feet square, and yours is smaller."
    TURNS = "Easy to turn and closed to animals, but it dries out or gets soggy quickly, and holds little."
    HEAVY = "Full, it is heavy. Ask what your balcony may carry, and what your building's rules allow."
    WORMS_FOOD = "Worms eat food scraps and bedding of paper; they cannot take much from the garden."
    WORMS_SHADE = "Worms need shade: in full sun the box gets too hot for them."
    WORMS_PLACE = "It takes little room and stands on any ground, in the shade and out of frost."
    NO_BALCONY = "It cannot stand on a balcony."
    NEEDS_MORE = "A small bin alone will not hold what you expect; take it for the food and leave the rest for another."


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where the bin would stand, and whether food and yard trimmings would go in."""

    ground: Ground
    sun: Sun
    space: Space
    has_food: bool
    has_yard: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Suitability:
    """One family of bin at one place: a verdict and the reasons, at least one."""

    family: Family
    verdict: Verdict
    reasons: tuple[Reason, ...]


OPEN_FLOORED = {Family.MESH, Family.RIGID, Family.WIRE_HOOP, Family.TIMBER, Family.NONE}
OPEN_SIDED = {Family.MESH, Family.WIRE_HOOP, Family.TIMBER, Family.NONE}
THREE_FEET = {Family.MESH, Family.WIRE_HOOP, Family.TIMBER, Family.NONE}
SMALL = {Family.LIDDED_CAN, Family.TUMBLER}
OPEN_GROUND = {Ground.SOIL, Ground.GRASS, Ground.GRAVEL}


def families_for(place: Place) -> tuple[Suitability, ...]:
    """Every family with its verdict and reasons, the best first."""
    judged = [_judge(family, place) for family in Family]
    order = list(Verdict)
    return tuple(sorted(judged, key=lambda one: order.index(one.verdict)))


def _judge(family: Family, place: Place) -> Suitability:
    found = list(_findings(family, place))
    worst = max((verdict for verdict, _ in found), key=list(Verdict).index)
    reasons = tuple(reason for verdict, reason in found if verdict is worst or worst is not Verdict.NOT_HERE)
    return Suitability(family=family, verdict=worst, reasons=reasons)


def _findings(family: Family, place: Place) -> Iterator[tuple[Verdict, Reason]]:
    if family in OPEN_FLOORED:
        yield from _open_floored(family, place)
    elif family is Family.WORM_BOX:
        yield from _worm_box(place)
    else:
        yield from _small(family, place)


def _open_floored(family: Family, place: Place) -> Iterator[tuple[Verdict, Reason]]:
    if place.ground is Ground.BALCONY:
        yield Verdict.NOT_HERE, Reason.NO_BALCONY
    elif place.ground in OPEN_GROUND:
        yield Verdict.SUITS, Reason.DRAINS
    elif family is Family.RIGID:
        yield Verdict.WITH_CARE, Reason.FLOOR
    else:
        yield Verdict.NOT_HERE, Reason.NO_DRAIN
    if family in THREE_FEET and place.space is Space.SMALL:
        yield Verdict.NOT_HERE, Reason.WANTS_ROOM
    if family is Family.RIGID:
        yield Verdict.SUITS, Reason.LID
    if family in OPEN_SIDED and place.has_food:
        yield Verdict.WITH_CARE, Reason.OPEN_TO_ANIMALS
    elif family in (Family.WIRE_HOOP, Family.MESH):
        yield Verdict.SUITS, Reason.HOOP


def _small(family: Family, place: Place) -> Iterator[tuple[Verdict, Reason]]:
    if family is Family.TUMBLER:
        yield Verdict.SUITS, Reason.TURNS
        if place.ground is Ground.PAVED:
            yield Verdict.SUITS, Reason.OWN_FLOOR
        if place.space is Space.SMALL:
            yield Verdict.NOT_HERE, Reason.WANTS_ROOM
    else:
        yield Verdict.SUITS, Reason.DRILLED
    if place.ground is Ground.BALCONY:
        yield Verdict.WITH_CARE, Reason.HEAVY
    if place.has_yard:
        yield Verdict.WITH_CARE, Reason.NEEDS_MORE


def _worm_box(place: Place) -> Iterator[tuple[Verdict, Reason]]:
    yield Verdict.SUITS, Reason.WORMS_PLACE
    if not place.has_food:
        yield Verdict.NOT_HERE, Reason.WORMS_FOOD
    elif place.has_yard:
        yield Verdict.WITH_CARE, Reason.WORMS_FOOD
    if place.sun is Sun.SUN:
        yield Verdict.WITH_CARE, Reason.WORMS_SHADE
