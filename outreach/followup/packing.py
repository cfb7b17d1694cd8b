"""An answer as sums over many of them take it: amounts in whole decilitres or decagrams, all else in one integer.

The database keeps both beside the answer and in an index, so that a million households are grouped by one
number, without reading the answers themselves.
"""

from collections.abc import Iterator
from functools import reduce
from operator import add

from django.db.models import BigIntegerField, Case, F, IntegerField, Q, When
from django.db.models.expressions import Combinable, Expression, ExpressionWrapper
from django.db.models.functions import Cast, Coalesce

# What the integer says, from its lowest bit, and in how many bits. Percents are kept plus one: 0 is not given.
LAYOUT = (
    ("yard_composted", 7),
    ("yard_trash", 7),
    ("food_composted", 7),
    ("food_trash", 7),
    ("browns_given", 1),
    ("yard_given", 1),
    ("food_given", 1),
    ("yard_by_weight", 1),
    ("food_by_weight", 1),
    ("still", 1),
    # 1 to 4, so that the whole is never 0 and 0 can stand for no answer.
    ("quarter_asked", 3),
)
BITS = sum(bits for _name, bits in LAYOUT)
PERCENTS = ("yard_composted", "yard_trash", "food_composted", "food_trash")
STOPPED = Q(composting="stopped")


def places() -> Iterator[tuple[str, int, int]]:
    """Each name with the position of its lowest bit and how many it has."""
    position = 0
    for name, bits in LAYOUT:
        yield name, position, bits
        position += bits


def unpacked(packed: int) -> dict[str, int]:
    """What an integer says, by name; a percent that was not given is -1."""
    said = {name: packed >> position & (1 << bits) - 1 for name, position, bits in places()}
    return said | {name: said[name] - 1 for name in PERCENTS}


def packed() -> Expression:
    """The integer of an answer, as an expression over its columns."""
    said = {
        **{name: _percent(f"{name}_percent") for name in PERCENTS},
        "browns_given": _flag(STOPPED | Q(browns_ml_per_week__isnull=False)),
        "yard_given": _given("yard"),
        "food_given": _given("food"),
        "yard_by_weight": _flag(Q(yard_g_per_week__isnull=False)),
        "food_by_weight": _flag(Q(food_g_per_week__isnull=False)),
        "still": _flag(~STOPPED),
        "quarter_asked": _quarter_asked(),
    }
    parts = [_whole(said[name]) * (1 << position) for name, position, _bits in places()]
    return ExpressionWrapper(reduce(add, parts), output_field=BigIntegerField())


def amount(material: str) -> Expression:
    """An amount in decagrams or decilitres a week; 0 where none was given or the household stopped."""
    given = Coalesce(
        (F(f"{material}_g_per_week") + 5) / 10,
        (F(f"{material}_ml_per_week") + 50) / 100,
        0,
        output_field=IntegerField(),
    )
    return _unless_stopped(given)


def browns() -> Expression:
    """Browns in decilitres a week; 0 where none were given or the household stopped."""
    return _unless_stopped(Coalesce((F("browns_ml_per_week") + 50) / 100, 0, output_field=IntegerField()))


def _unless_stopped(given: Combinable) -> Case:
    return Case(When(STOPPED, then=0), default=given, output_field=IntegerField())


def _given(material: str) -> Case:
    by_volume, by_weight = f"{material}_ml_per_week__isnull", f"{material}_g_per_week__isnull"
    return _flag(STOPPED | Q(**{by_volume: False}) | Q(**{by_weight: False}))


def _flag(condition: Q) -> Case:
    return Case(When(condition, then=1), default=0, output_field=IntegerField())


def _percent(field: str) -> Combinable:
    return Coalesce(F(field), -1, output_field=IntegerField()) + 1


def _quarter_asked() -> Case:
    """The quarter of the month asked about: its middle is half a month before the answer."""
    # PostgreSQL extracts a month as a fraction, whose third would be rounded.
    month = Cast(F("answered_on__month"), IntegerField())
    first_half = _flag(Q(answered_on__day__lte=15))
    return Case(
        When(Q(answered_on__month=1, answered_on__day__lte=15), then=4),
        default=(month + 2 - first_half) / 3,
        output_field=IntegerField(),
    )


def _whole(expression: Combinable) -> Cast:
    return Cast(expression, BigIntegerField())
