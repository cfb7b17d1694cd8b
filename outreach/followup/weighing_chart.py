"""Reports against scales as a picture: a point for each home, the published range as a wedge, the ratio as a line."""

from collections.abc import Iterator
from dataclasses import dataclass

from django.utils.html import escape, format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from diversion.calibration import Calibration
from diversion.factors import PublishedFactor
from outreach.followup.weighed_homes import G_PER_KG, ML_PER_LITRE, WeighedMaterial

WIDTH, HEIGHT = 480.0, 300.0
LEFT, RIGHT, TOP, BOTTOM = 34.0, 8.0, 22.0, 262.0
TEXT_SIZE = 10.5
DOT = 3.6
STEPS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Plot:
    """Where litres and kilograms lie on the picture."""

    most_litres: float
    most_kg: float

    def x(self, litres: float) -> float:
        return LEFT + litres / self.most_litres * (WIDTH - LEFT - RIGHT)

    def y(self, kg: float) -> float:
        return BOTTOM - kg / self.most_kg * (BOTTOM - TOP)

    def ray(self, kg_per_litre: float) -> tuple[float, float]:
        """Where a ratio's line from nothing leaves the picture, at its right or its upper edge."""
        litres = self.most_litres
        if kg_per_litre * litres > self.most_kg:
            litres = self.most_kg / kg_per_litre
        return self.x(litres), self.y(kg_per_litre * litres)


def drawing_of(weighed: WeighedMaterial, published: PublishedFactor, ratio: Calibration | None) -> SafeString:
    """An SVG without colours of its own; the page's stylesheet inks it by class."""
    litres = max((one.reported_ml for one in weighed.homes), default=0) / ML_PER_LITRE
    kg = max((one.weighed_g for one in weighed.homes), default=0) / G_PER_KG
    plot = Plot(most_litres=round_up(litres), most_kg=round_up(kg))
    marks = [
        *_axes(plot),
        *_wedge(plot, published),
        *(_line(plot, ratio.kg_per_litre) if ratio else ()),
        *(
            f'<circle class="chart-bar second" cx="{plot.x(one.reported_ml / ML_PER_LITRE):.1f}" '
            f'cy="{plot.y(one.weighed_g / G_PER_KG):.1f}" r="{DOT}"/>'
            for one in weighed.homes
        ),
    ]
    alt = _("%(homes)s homes: kilograms weighed against litres reported, beside the published range") % {
        "homes": len(weighed.homes)
    }
    return format_html(
        '<svg role="img" aria-label="{}" viewBox="0 0 {} {}" xmlns="http://www.w3.org/2000/svg" '
        'font-size="{}">{}</svg>',
        alt,
        f"{WIDTH:g}",
        f"{HEIGHT:g}",
        f"{TEXT_SIZE:g}",
        mark_safe("".join(marks)),  # noqa: S308
    )


def round_up(most: float) -> float:
    """The next of 1, 2, 4, 8 times a power of ten, so that four steps are round; 4 where there is nothing."""
    if most <= 0:
        return float(STEPS)
    power = 1e-3
    while True:
        for digit in (1, 2, 4, 8):
            if most <= digit * power:
                return digit * power
        power *= 10


def _axes(plot: Plot) -> Iterator[str]:
    yield _stroke("rule", LEFT, BOTTOM, WIDTH - RIGHT, BOTTOM)
    yield _stroke("rule", LEFT, TOP, LEFT, BOTTOM)
    for step in range(STEPS + 1):
        litres, kg = plot.most_litres * step / STEPS, plot.most_kg * step / STEPS
        yield _words(plot.x(litres), BOTTOM + 14, f"{litres:g}", "end" if step == STEPS else "middle")
        yield _words(LEFT - 5, plot.y(kg) + 4, f"{kg:g}", "end")
    yield _words(WIDTH - RIGHT, BOTTOM + 30, _("litres reported"), "end")
    yield _words(0, 12, _("kg weighed"), "start")


def _wedge(plot: Plot, published: PublishedFactor) -> Iterator[str]:
    low, high = plot.ray(published.low), plot.ray(published.high)
    corner = (plot.x(plot.most_litres), plot.y(plot.most_kg))
    # Where the range holds the upper right corner, the wedge does too.
    between = [corner] if low[0] == corner[0] and high[0] < corner[0] else []
    corners = [(plot.x(0), plot.y(0)), low, *between, high]
    points = " ".join(f"{x:.1f},{y:.1f}" for x, y in corners)
    yield f'<polygon class="chart-band-outer" points="{points}"/>'
    yield _stroke("limit", plot.x(0), plot.y(0), *plot.ray(published.value))


def _line(plot: Plot, kg_per_litre: float) -> Iterator[str]:
    yield _stroke("curve", plot.x(0), plot.y(0), *plot.ray(kg_per_litre))


def _stroke(role: str, x1: float, y1: float, x2: float, y2: float) -> str:
    return f'<line class="chart-{role}" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'


def _words(x: float, y: float, text: str, anchor: str) -> str:
    return f'<text class="chart-label" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">{escape(text)}</text>'
