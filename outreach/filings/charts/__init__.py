"""Charts, laid out once and drawn twice: as SVG in the page, as vectors in the PDF."""

from outreach.filings.charts.layout import lay_out
from outreach.filings.charts.vectors import drawing_of, svg_of, svg_of_layout

__all__ = ["drawing_of", "lay_out", "svg_of", "svg_of_layout"]
