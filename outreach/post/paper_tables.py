"""A ruled table on paper: heavy under its head, hair lines between rows, room to write in."""

from collections.abc import Sequence

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Table, TableStyle

from outreach.post import paper
from outreach.staff.faces import BOLD

HEAD = ParagraphStyle("table head", parent=paper.SMALL, fontName=BOLD, textColor=paper.INK, spaceAfter=0)
CELL = ParagraphStyle("table cell", parent=paper.TEXT, fontSize=10, leading=12.5, spaceBefore=0, spaceAfter=0)


class Box(Flowable):
    """A square to tick, or one that is ticked already."""

    def __init__(self, side: float, *, is_ticked: bool = False) -> None:
        super().__init__()
        self.width = self.height = side
        self.is_ticked = is_ticked

    def draw(self) -> None:
        self.canv.setStrokeColor(paper.INK)
        self.canv.setLineWidth(0.8)
        self.canv.rect(0, 0, self.width, self.height)
        if self.is_ticked:
            self.canv.line(0, 0, self.width, self.height)
            self.canv.line(0, self.height, self.width, 0)


def ruled(
    head: Sequence[str],
    rows: Sequence[Sequence[str | Flowable]],
    *,
    widths: Sequence[float],
    row_height: float | None = None,
) -> Table:
    """A table whose head comes again on each page; rows keep at least the height that a hand needs."""
    cells = [[paper.say(word, HEAD) for word in head]]
    cells += [[one if isinstance(one, Flowable) else paper.say(one, CELL) for one in row] for row in rows]
    heights = None if row_height is None else [None, *[row_height] * len(rows)]
    table = Table(cells, colWidths=list(widths), rowHeights=heights, repeatRows=1)
    table.setStyle(
        TableStyle(
            [
                ("LINEAFTER", (0, 0), (-2, -1), 0.5, paper.HAIRLINE),
                ("LINEBELOW", (0, 0), (-1, 0), 1, paper.INK),
                ("LINEBELOW", (0, 1), (-1, -1), 0.5, paper.RULE),
                ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
                ("LEFTPADDING", (0, 0), (-1, -1), 4),
                ("RIGHTPADDING", (0, 0), (-1, -1), 4),
            ]
        )
    )
    return table
