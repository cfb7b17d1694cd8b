"""The inks can be read on the grounds, in every scheme.

Source: W3C, Web Content Accessibility Guidelines 2.2, "relative luminance" and "contrast ratio",
success criteria 1.4.3 (text, 4.5) and 1.4.11 (lines of controls, 3).
"""

import re
from pathlib import Path

import pytest

LOOK = Path(__file__).resolve().parents[2] / "outreach" / "site" / "static" / "look"
INKS = ["ink", "moss", "slate", "clay", "ochre", "plum", "stone"]


def inks_of(scheme: str) -> dict[str, str]:
    """The colours that a scheme ends up with, by token."""
    text = (LOOK / "tokens.css").read_text()
    blocks = {
        "light": text.split("@media (prefers-color-scheme: dark)")[0],
        "dark": text.split("@media (prefers-color-scheme: dark)")[1].split("/* For the open air")[0],
        "sunlight": text.split('data-scheme="sunlight"] {')[1],
        "print": (LOOK / "print.css").read_text(),
    }
    found = {"--white": "#FFFFFF"}
    for name in ("light", scheme):
        found |= dict(re.findall(r"--([a-z-]+): (#[0-9A-F]{6})", blocks[name]))
    return found


def luminance(colour: str) -> float:
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_measure_itself_gives_the_ends_of_the_scale_of_the_standard():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("scheme", ["light", "dark", "sunlight", "print"])
@pytest.mark.parametrize("ink", INKS)
def test_every_ink_can_be_read_on_page_and_leaf(scheme, ink):
    colours = inks_of(scheme)

    assert min(contrast(colours[ink], colours[ground]) for ground in ("paper", "leaf")) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark", "sunlight", "print"])
def test_words_can_be_read_on_every_tint(scheme):
    colours = inks_of(scheme)

    assert (
        min(contrast(colours["ink"], colours[f"tint-{t}"]) for t in ("moss", "slate", "clay", "ochre")) >= 7
    )


@pytest.mark.parametrize("scheme", ["light", "dark", "sunlight"])
def test_icons_and_edges_of_notices_and_fields_are_seen(scheme):
    colours = inks_of(scheme)

    assert min(contrast(colours[t], colours[f"tint-{t}"]) for t in ("moss", "slate", "clay", "ochre")) >= 3
    assert min(contrast(colours["rule"], colours[ground]) for ground in ("paper", "leaf")) >= 3


@pytest.mark.parametrize("scheme", ["light", "dark", "sunlight"])
def test_words_on_a_button_can_be_read_at_rest_and_under_the_pointer(scheme):
    colours = inks_of(scheme)

    assert contrast(colours["on-ink"], colours["moss"]) >= 4.5
    assert contrast(colours["leaf"], colours["ink"]) >= 4.5


def test_the_sunlight_scheme_reaches_ten_to_one():
    colours = inks_of("sunlight")

    assert min(contrast(colours[ink], colours["leaf"]) for ink in INKS) >= 10


def test_colours_are_written_in_tokens_and_in_the_print_sheet_only():
    strays = [
        f"{sheet.name}: {line.strip()}"
        for sheet in LOOK.glob("*.css")
        if sheet.name not in {"tokens.css", "print.css"}
        for line in sheet.read_text().splitlines()
        if re.search(r"#[0-9A-Fa-f]{3,8}\b", line)
    ]

    assert [stray for stray in strays if ".picture" not in stray] == []  # a chart is always on white
