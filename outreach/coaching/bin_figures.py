"""Each family of bin as a drawing of our own: a few shapes that PDF and page draw alike, legible in grey.

The field is 120 wide and 112 high, x to the right, y down; the ground is at 100. Pure: no Django.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from outreach.coaching.families import Family

WIDTH, HEIGHT = 120, 112
INK, MIDDLE, LIGHT, PAPER, NONE = "#1F1A14", "#8C8271", "#D8D0BF", "#FFFFFF", ""
GROUND = 100.0

Point = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """A line through points, closed or not; `fill` NONE leaves it empty, `ink` NONE draws no line."""

    points: tuple[Point, ...]
    is_closed: bool = False
    fill: str = NONE
    ink: str = INK
    thick: float = 1.4

    @property
    def svg_path(self) -> str:
        """The same as the `d` of an SVG path."""
        steps = " L".join(f"{x:.1f} {y:.1f}" for x, y in self.points)
        return f"M{steps}{' Z' if self.is_closed else ''}"


def figure_of(family: Family) -> tuple[Shape, ...]:
    """The drawing of a family, from the back to the front."""
    return (*_FIGURES[family](), _line((4, GROUND), (116, GROUND), thick=1.0))


def _line(*points: Point, **look: object) -> Shape:
    return Shape(points=tuple(points), **look)  # type: ignore[arg-type]


def _area(*points: Point, fill: str = PAPER, ink: str = INK, thick: float = 1.4) -> Shape:
    return Shape(points=tuple(points), is_closed=True, fill=fill, ink=ink, thick=thick)


def _box(left: float, top: float, right: float, bottom: float, **look: str) -> Shape:
    return _area((left, top), (right, top), (right, bottom), (left, bottom), **look)  # type: ignore[arg-type]


def _arc(middle: Point, wide: float, high: float, begin: float = 0, end: float = 360) -> tuple[Point, ...]:
    """Points on an ellipse from one angle to another, clockwise on the page. [degrees]"""
    count = max(8, round(abs(end - begin) / 10))
    angles = (math.radians(begin + (end - begin) * n / count) for n in range(count + 1))
    return tuple((middle[0] + wide * math.cos(a), middle[1] + high * math.sin(a)) for a in angles)


def _drum(left: float, right: float, top: float, bottom: float, deep: float, fill: str) -> Iterable[Shape]:
    """A cylinder that stands: its wall, and its open top."""
    x, wide = (left + right) / 2, (right - left) / 2
    front = _arc((x, bottom), wide, deep, 0, 180)
    yield _area((left, top), (right, top), *front, fill=fill)
    yield _area(*_arc((x, top), wide, deep), fill=PAPER)


def _mesh() -> Iterable[Shape]:
    left, right, top, bottom, deep = 24.0, 96.0, 30.0, 94.0, 8.0
    x, wide = (left + right) / 2, (right - left) / 2
    yield _area(
        (left, 60), *_arc((x, 60), wide, deep, 180, 360), (right, 60), *_arc((x, bottom), wide, deep, 0, 180),
        fill=LIGHT, ink=NONE,
    )  # fmt: skip
    yield _area(*_arc((x, 60), wide, deep), fill=MIDDLE, ink=NONE)
    for height in range(30, 95, 8):
        yield _line(*_arc((x, height), wide, deep, 0, 180), thick=0.6)
    for angle in range(0, 181, 15):
        across, down = math.cos(math.radians(angle)), math.sin(math.radians(angle))
        at = x + wide * across
        yield _line((at, top + deep * down), (at, bottom + deep * down), thick=0.6)
    yield _line(*_arc((x, top), wide, deep), thick=1.8)
    yield _line(*_arc((x, bottom), wide, deep, 0, 180), thick=1.8)


def _rigid() -> Iterable[Shape]:
    yield _area((34, 30), (86, 30), (94, GROUND), (26, GROUND), fill=LIGHT)
    for part in (0.25, 0.5, 0.75):
        y = 30 + 70 * part
        yield _line((34 - 8 * part, y), (86 + 8 * part, y), thick=0.7)
    yield _area((30, 30), (38, 18), (82, 18), (90, 30), fill=MIDDLE)
    yield _area((54, 18), (56, 13), (64, 13), (66, 18))
    yield _area((46, 80), (74, 80), (76, GROUND), (44, GROUND))
    yield _line((56, 85), (64, 85), thick=2)


def _lidded_can() -> Iterable[Shape]:
    yield _box(30, 94, 46, GROUND, fill=MIDDLE)
    yield _box(74, 94, 90, GROUND, fill=MIDDLE)
    yield from _drum(34, 86, 30, 86, 6, LIGHT)
    yield _area((31, 31), (36, 22), (84, 22), (89, 31), fill=MIDDLE)
    yield _line(*_arc((60, 22), 9, 8, 180, 360), thick=2)
    for row, y in enumerate((44, 58, 72)):
        for column in range(4 - row % 2):
            yield _area(*_arc((42 + 12 * column + 6 * (row % 2), y), 1.7, 1.7), fill=INK)


def _tumbler() -> Iterable[Shape]:
    for x in (26, 94):
        yield _line((x, 56), (x - 12, GROUND), thick=2.4)
        yield _line((x, 56), (x + 12, GROUND), thick=2.4)
    yield _area((24, 36), (36, 26), (84, 26), (96, 36), (96, 74), (84, 84), (36, 84), (24, 74), fill=LIGHT)
    for y in (36, 74):
        yield _line((24, y), (96, y), thick=0.8)
    yield _box(46, 42, 74, 66)
    yield _line((56, 62), (64, 62), thick=2)
    for x in (24, 96):
        yield _area(*_arc((x, 55), 3.4, 3.4), fill=INK)


def _worm_box() -> Iterable[Shape]:
    for x in (34, 82):
        yield _box(x, 88, x + 5, GROUND, fill=MIDDLE)
    for top in (34, 52, 70):
        yield _box(28, top, 92, top + 18, fill=LIGHT)
        yield _line((54, top + 7), (66, top + 7), thick=2)
    yield _box(25, 27, 95, 34, fill=MIDDLE)
    yield _area((92, 80), (100, 80), (100, 84), (92, 84), fill=INK)
    for x, y in ((34, 62), (74, 62), (40, 80), (70, 80)):
        wave = tuple((x + n, y + 2.2 * math.sin(n * 0.9)) for n in range(12))
        yield _line(*wave, thick=1.8)


def _wire_hoop() -> Iterable[Shape]:
    left, right, top, bottom, deep = 26.0, 94.0, 34.0, 94.0, 8.0
    yield _area(*_arc((60, 56), 34, deep, 180, 360), (right, bottom), *_arc((60, bottom), 34, deep, 0, 180),
                (left, 56), fill=LIGHT, ink=NONE)  # fmt: skip
    for x, y in ((38, 70), (52, 82), (66, 68), (80, 80), (45, 60), (72, 92), (58, 93)):
        yield _area((x - 6, y), (x, y - 3), (x + 6, y), (x, y + 3), fill=MIDDLE)
    for height in (34, 54, 74):
        yield _line(*_arc((60, height), 34, deep, 0, 180), thick=1.1)
    yield _line(*_arc((60, top), 34, deep), thick=2)
    yield _line(*_arc((60, bottom), 34, deep, 0, 180), thick=2)
    for at in (left, 43.0, 77.0, right):
        yield _line((at, 36), (at, 98), thick=1.6)


def _timber() -> Iterable[Shape]:
    yield _box(26, 46, 94, GROUND, fill=LIGHT, ink=NONE)
    yield _area((26, 46), (40, 38), (54, 44), (70, 36), (84, 43), (94, 46), fill=MIDDLE)
    for top in (46, 60, 74, 88):
        yield _box(22, top, 98, top + 9)
    for x in (22, 91):
        yield _box(x, 32, x + 7, GROUND, fill=MIDDLE)


def _heap() -> Iterable[Shape]:
    def mound(wide: float, high: float) -> tuple[Point, ...]:
        return tuple((60 + wide * n / 12, GROUND - high * (1 - (n / 12) ** 2)) for n in range(-12, 13))

    yield _area(*mound(46, 56), fill=LIGHT)
    yield _line(*mound(38, 36), thick=0.8)
    yield _area(*mound(28, 17), fill=MIDDLE, thick=0.8)
    for x, y in ((40, 74), (78, 70), (60, 54), (86, 88), (32, 90)):
        yield _area((x - 5, y), (x, y - 3), (x + 5, y), (x, y + 3), fill=MIDDLE)


_FIGURES = {
    Family.RIGID: _rigid,
    Family.LIDDED_CAN: _lidded_can,
    Family.TUMBLER: _tumbler,
    Family.WORM_BOX: _worm_box,
    Family.MESH: _mesh,
    Family.WIRE_HOOP: _wire_hoop,
    Family.TIMBER: _timber,
    Family.NONE: _heap,
}
