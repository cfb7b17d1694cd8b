"""Pages of a PDF as pictures, by Debian's poppler-utils."""

import io
import shutil
import subprocess

import pytest
from PIL import Image


def pages_of(data: bytes, *, dots_per_inch: int = 150) -> list[Image.Image]:
    """Each page of the PDF; skips the test where pdftoppm is not installed."""
    if shutil.which("pdftoppm") is None:
        pytest.skip("needs pdftoppm of poppler-utils")
    command = ["pdftoppm", "-r", str(dots_per_inch), "-gray", "-"]
    done = subprocess.run(command, input=data, capture_output=True, check=True)
    stream, pages = io.BytesIO(done.stdout), []
    while stream.tell() < len(done.stdout):
        pages.append(Image.open(stream).copy())
    return pages
