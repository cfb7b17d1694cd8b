"""The face of the PDFs can print what they say, in English and in Spanish, in columns that line up."""

from pathlib import Path

import pytest
from reportlab.pdfbase.ttfonts import TTFontFile

FONTS = Path(__file__).resolve().parents[2] / "outreach" / "staff" / "fonts"
STYLES = ["Regular", "Bold", "Italic", "BoldItalic"]


def face_of(style: str) -> TTFontFile:
    return TTFontFile(str(FONTS / f"AtkinsonHyperlegibleNext-{style}.ttf"))


@pytest.mark.parametrize("style", STYLES)
def test_the_face_has_every_letter_of_english_and_spanish_and_the_signs_of_a_filing(style):
    drawn = face_of(style).charToGlyph

    assert [c for c in "áéíóúüñÁÉÍÓÚÜÑ¿¡ºª‘’“”–—×±−·½¼¾°²³%€$…ğőšžłč" if ord(c) not in drawn] == []


@pytest.mark.parametrize("style", STYLES)
def test_figures_are_all_of_one_width(style):
    widths = face_of(style).charWidths

    assert len({widths[ord(figure)] for figure in "0123456789"}) == 1


def test_the_licence_lies_beside_the_files():
    assert "SIL OPEN FONT LICENSE" in (FONTS / "OFL.txt").read_text().upper()
