"""Where an address must stand on a letter-size sheet, folded in three, to show in a window envelope.

A US no. 10 envelope is 4 1/8 by 9 1/2 inches; its window is 1 1/8 by 4 1/2 inches, 7/8 inch from the left and
1/2 inch from the bottom. The folded sheet is 11/3 inches high, so it slides by up to 0.45 inch. The block below
shows whole wherever it slides to. Sizes are from memory, common practice, no source at hand: hold a printed
sheet against your envelopes.
"""

from collections.abc import Callable, Sequence

from reportlab.lib.units import inch
from reportlab.pdfgen.canvas import Canvas

from outreach.staff.faces import PLAIN

LEFT, TOP, WIDTH, HEIGHT = 1.05 * inch, 2.5 * inch, 4.1 * inch, 0.66 * inch
FIRST_FREE = 11 / 3 * inch  # below the first fold
FOLDS = (11 / 3 * inch, 22 / 3 * inch)
SIZES = (11.0, 10.0, 9.0, 8.0, 7.0)
LEADING = 1.18
TICK = 0.18 * inch


def draw_address(canvas: Canvas, lines: Sequence[str]) -> None:
    """Write the address in the largest size in which all of it shows, and mark the folds at the edge."""
    _width, height = canvas._pagesize
    size = size_that_fits(lines, canvas.stringWidth)
    canvas.setFont(PLAIN, size)
    for number, line in enumerate(lines):
        canvas.drawString(LEFT, height - TOP - size - number * size * LEADING, line)
    canvas.setLineWidth(0.4)
    for fold in FOLDS:
        canvas.line(0, height - fold, TICK, height - fold)


def size_that_fits(lines: Sequence[str], width_of: Callable[[str, str, float], float]) -> float:
    """The largest of our sizes in which every line stays inside the block; the smallest where none does."""
    for size in SIZES:
        widest = max((width_of(line, PLAIN, size) for line in lines), default=0)
        if widest <= WIDTH and len(lines) * size * LEADING <= HEIGHT:
            return size
    return SIZES[-1]
