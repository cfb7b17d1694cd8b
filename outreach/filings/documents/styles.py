"""How the PDF looks: the tokens of the pages, for paper."""

from xml.sax.saxutils import escape

from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import TableStyle

from outreach.staff.faces import BOLD, PLAIN

INK, STONE, MOSS, RULE = HexColor("#1F1A14"), HexColor("#5F564A"), HexColor("#2C5A3B"), HexColor("#8C8271")
HAIRLINE = HexColor("#D8D0BF")

TITLE = ParagraphStyle("title", fontName=BOLD, fontSize=22, leading=27, textColor=INK, spaceAfter=2)
SUBTITLE = ParagraphStyle("subtitle", fontName=PLAIN, fontSize=11, leading=15, textColor=STONE, spaceAfter=10)
LEAD = ParagraphStyle("lead", fontName=PLAIN, fontSize=12, leading=18, textColor=INK, spaceAfter=10)
HEADING = ParagraphStyle(
    "heading", fontName=BOLD, fontSize=15, leading=19, textColor=INK, spaceBefore=12, spaceAfter=4
)
CAPTION = ParagraphStyle(
    "caption", fontName=BOLD, fontSize=9.5, leading=13, textColor=INK, spaceBefore=8, spaceAfter=3
)
TEXT = ParagraphStyle("text", fontName=PLAIN, fontSize=9.5, leading=14, textColor=INK, spaceAfter=4)
NOTE = ParagraphStyle("note", fontName=PLAIN, fontSize=8, leading=11, textColor=STONE, spaceAfter=4)
BIG = ParagraphStyle("big", fontName=BOLD, fontSize=24, leading=28, textColor=INK)
UNDER = ParagraphStyle("under", fontName=PLAIN, fontSize=9, leading=12, textColor=STONE)


def markup(words: str) -> str:
    """Words for a paragraph: nothing in them is taken for markup."""
    return escape(words)


def cell_style(size: float) -> ParagraphStyle:
    return ParagraphStyle("cell", fontName=PLAIN, fontSize=size, leading=size * 1.25, textColor=INK)


def heading_styles(size: float) -> tuple[ParagraphStyle, ParagraphStyle]:
    left = ParagraphStyle("column", fontName=BOLD, fontSize=size, leading=size * 1.2, textColor=INK)
    return left, ParagraphStyle("number column", parent=left, alignment=TA_RIGHT)


def table_style(number_columns: list[int], *, has_total: bool, size: float) -> TableStyle:
    """Hairlines between rows, a rule under the heading, one above and two below a total."""
    commands: list[tuple[object, ...]] = [
        ("FONT", (0, 0), (-1, -1), PLAIN, size, size * 1.25),
        ("TEXTCOLOR", (0, 0), (-1, -1), INK),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("VALIGN", (0, 1), (-1, -1), "TOP"),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), 2.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 2.5),
        ("LINEBELOW", (0, 0), (-1, 0), 0.8, RULE),
        ("LINEBELOW", (0, 1), (-1, -1), 0.3, HAIRLINE),
    ]
    commands += [("ALIGN", (index, 0), (index, -1), "RIGHT") for index in number_columns]
    if has_total:
        commands += [
            ("LINEABOVE", (0, -1), (-1, -1), 0.8, RULE),
            ("LINEBELOW", (0, -1), (-1, -1), 0.8, RULE, None, None, None, 2, 1.2),
            ("FONT", (0, -1), (-1, -1), BOLD, size, size * 1.25),
        ]
    return TableStyle(commands)
