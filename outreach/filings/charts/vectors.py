"""A laid-out chart as SVG for the page, and as a drawing for the PDF."""

from django.utils.html import escape, format_html
from django.utils.safestring import SafeString, mark_safe
from reportlab.graphics.shapes import Drawing, Line, Polygon, Rect, String
from reportlab.lib.colors import HexColor, white

from outreach.filings.charts.layout import lay_out
from outreach.filings.charts.marks import TEXT_SIZE, Area, Layout, Mark, Rectangle, Stroke
from outreach.filings.report import Chart

MOSS, SLATE, INK, RULE = (HexColor(one) for one in ("#2C5A3B", "#264D73", "#1F1A14", "#8C8271"))
STROKES = {
    "rule": (RULE, 0.6),
    "halo": (white, 4.2),
    "interval": (INK, 1.5),
    "limit": (SLATE, 0.9),
    "curve": (MOSS, 2.2),
    "hatch": (SLATE, 0.9),
}
# Inside and edge of a bar, by its role.
FILLS = {"bar": (MOSS, None), "bar-second": (white, SLATE)}
BANDS = {"band-outer": HexColor("#D5E0D3"), "band-inner": HexColor("#A9C2A6")}


def svg_of(chart: Chart) -> SafeString:
    """SVG for inside a page; its colours come from the page's stylesheet by class, so dark pages work too."""
    return svg_of_layout(lay_out(chart), alt=chart.alt)


def svg_of_layout(layout: Layout, *, alt: str) -> SafeString:
    """The same from marks that are laid out already; `alt` says what the picture shows."""
    marks = mark_safe("".join(_svg(mark) for mark in layout.marks))  # noqa: S308
    return format_html(
        '<svg class="chart-drawing" role="img" aria-label="{}" viewBox="-2 0 {} {}" '
        'xmlns="http://www.w3.org/2000/svg" font-size="{}">{}</svg>',
        alt,
        f"{layout.width + 4:g}",
        f"{layout.height:g}",
        f"{TEXT_SIZE:g}",
        marks,
    )


def _svg(mark: Mark) -> str:
    if isinstance(mark, Rectangle):
        return (
            f'<rect class="chart-{mark.role}" x="{mark.x:.1f}" y="{mark.y:.1f}" '
            f'width="{mark.width:.1f}" height="{mark.height:.1f}"/>'
        )
    if isinstance(mark, Stroke):
        return (
            f'<line class="chart-{mark.role}" x1="{mark.x1:.1f}" y1="{mark.y1:.1f}" '
            f'x2="{mark.x2:.1f}" y2="{mark.y2:.1f}"/>'
        )
    if isinstance(mark, Area):
        corners = " ".join(f"{x:.1f},{y:.1f}" for x, y in mark.corners)
        return f'<polygon class="chart-{mark.role}" points="{corners}"/>'
    return (
        f'<text class="chart-{mark.role}" x="{mark.x:.1f}" y="{mark.y:.1f}" '
        f'text-anchor="{mark.anchor}">{escape(mark.text)}</text>'
    )


def drawing_of(chart: Chart, *, face: str, bold_face: str, width: float) -> Drawing:
    """A reportlab drawing of that width in points, in the document's own typeface."""
    layout = lay_out(chart)
    factor = width / layout.width
    drawing = Drawing(width, layout.height * factor)
    drawing.scale(factor, factor)
    for mark in layout.marks:
        drawing.add(_shape(mark, layout, face=face, bold_face=bold_face))
    return drawing


def _shape(mark: Mark, layout: Layout, *, face: str, bold_face: str) -> Rect | Line | String | Polygon:
    if isinstance(mark, Rectangle):
        fill, edge = FILLS[mark.role]
        low = layout.height - mark.y - mark.height
        return Rect(mark.x, low, mark.width, mark.height, fillColor=fill, strokeColor=edge, strokeWidth=0.9)
    if isinstance(mark, Stroke):
        colour, thick = STROKES[mark.role]
        return Line(
            mark.x1,
            layout.height - mark.y1,
            mark.x2,
            layout.height - mark.y2,
            strokeColor=colour,
            strokeWidth=thick,
        )
    if isinstance(mark, Area):
        return _polygon(mark, layout)
    return String(
        mark.x,
        layout.height - mark.y,
        mark.text,
        fontName=bold_face if mark.role == "value" else face,
        fontSize=TEXT_SIZE,
        fillColor=INK,
        textAnchor=mark.anchor,
    )


def _polygon(area: Area, layout: Layout) -> Polygon:
    flat = [place for x, y in area.corners for place in (x, layout.height - y)]
    return Polygon(flat, fillColor=BANDS[area.role], strokeColor=None)
