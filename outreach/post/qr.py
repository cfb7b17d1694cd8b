"""QR codes on paper."""

import segno
from reportlab.platypus import Flowable

from outreach.post import paper


class Code(Flowable):
    """A QR code of an address, its quiet zone included, so large."""

    QUIET = 4

    def __init__(self, url: str, side: float) -> None:
        super().__init__()
        self.matrix = segno.make(url, error="m", micro=False).matrix
        self.width = self.height = side

    def draw(self) -> None:
        count = len(self.matrix) + 2 * self.QUIET
        cell = self.width / count
        self.canv.setFillColor(paper.INK)
        for y, row in enumerate(self.matrix):
            top = self.height - (y + self.QUIET + 1) * cell
            for x, is_dark in enumerate(row):
                if is_dark:
                    # A hair wider than its cell, so that no light line parts two of them.
                    self.canv.rect((x + self.QUIET) * cell, top, cell + 0.05, cell + 0.05, stroke=0, fill=1)
