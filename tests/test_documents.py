"""Documents keep to the code: links and pictures are there, commands exist, words of the screen are on a screen."""

import ast
import re
from functools import cache
from pathlib import Path

import pytest
from django.core.management import get_commands

ROOT = Path(__file__).resolve().parents[1]
DOCUMENTS = sorted([ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").rglob("*.md")])
HEAVIEST_PICTURE = 250_000
LONGEST_README = 60


def text_of(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_what_a_document_links_to_is_there(path):
    text = path.read_text(encoding="utf-8")
    targets = re.findall(r"\]\(([^)\s]+)\)", text)

    for target in targets:
        if target.startswith(("http://", "https://")):
            continue
        name, _, anchor = target.partition("#")
        linked = path.parent / name if name else path
        assert linked.exists(), target
        if anchor:
            assert anchor in anchors(linked.read_text(encoding="utf-8")), target


def anchors(text: str) -> set[str]:
    headings = re.findall(r"^#+ (.+)$", text, re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading).strip().lower().replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("path", DOCUMENTS, ids=lambda path: str(path.relative_to(ROOT)))
def test_commands_exist(path):
    named = set(re.findall(r"(?:manage\.py|loambook) ([a-z][a-z_]+)\b", path.read_text(encoding="utf-8")))

    assert named - set(get_commands()) <= {"loambook"}


def test_every_picture_is_shown_and_light():
    shown = {
        (path.parent / target).resolve()
        for path in DOCUMENTS
        for target in re.findall(r"!\[[^\]]+\]\(([^)]+)\)", path.read_text(encoding="utf-8"))
    }
    pictures = set((ROOT / "docs" / "pictures").glob("*.png"))

    assert pictures == shown
    assert {path.name for path in pictures if path.stat().st_size >= HEAVIEST_PICTURE} == set()


@cache
def words_on_screens() -> str:
    templates = [path.read_text(encoding="utf-8") for path in (ROOT / "templates").rglob("*.html")]
    modules = [path.read_text(encoding="utf-8") for path in (ROOT / "outreach").rglob("*.py")]
    return "\n".join(templates + modules)


def test_words_of_the_screen_are_on_a_screen():
    """What the guide sets in italics stands on a button, a link or a heading."""
    words = set(re.findall(r"(?<!\*)\*([^*\n]+)\*(?!\*)", text_of("docs/guide.md")))

    assert len(words) > 15
    assert {word for word in words if f'"{word}"' not in words_on_screens()} == set()


def test_every_variable_of_the_settings_is_in_the_deploying_document():
    tree = ast.parse(text_of("outreach/site/settings.py"))
    read = {
        node.args[0].value
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "os.environ.get"
    } | {"DATABASE_URL"}  # read by dj_database_url
    listed = set(re.findall(r"^\| `([A-Z_]+)` \|", text_of("docs/deploying.md"), re.MULTILINE))

    assert "environ[" not in text_of("outreach/site/settings.py")
    assert listed == read
    assert {name for name in read if name not in ast.get_docstring(tree)} == set()


def test_the_readme_is_short():
    assert len(text_of("README.md").splitlines()) < LONGEST_README
