"""The typeface of the documents, embedded: the same face as the pages."""

from functools import cache
from pathlib import Path

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont

FOLDER = Path(__file__).parent / "fonts"
PLAIN, BOLD = "Atkinson", "Atkinson-Bold"


@cache
def register_faces() -> None:
    """Make the faces known to reportlab, once in a process."""
    pdfmetrics.registerFont(TTFont(PLAIN, FOLDER / "AtkinsonHyperlegibleNext-Regular.ttf"))
    pdfmetrics.registerFont(TTFont(BOLD, FOLDER / "AtkinsonHyperlegibleNext-Bold.ttf"))
    pdfmetrics.registerFontFamily(PLAIN, normal=PLAIN, bold=BOLD, italic=PLAIN, boldItalic=BOLD)
