"""Rules of the house that a test can enumerate."""

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
OURS = [
    p for top in ("outreach", "diversion") for p in (ROOT / top).rglob("*.py") if "migrations" not in p.parts
]
TESTS = list((ROOT / "tests").rglob("*.py"))
HOMELESS = {"utils", "helpers", "common", "services", "misc", "base"}
TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "manage.py",
    "pyproject.toml",
    "outreach",
    "diversion",
    "templates",
    "tests",
    "fixtures",
    "docs",
}
MADE_AT_RUN_TIME = {"var", "loambook.egg-info", "build", "mutants"}


@pytest.mark.parametrize("path", OURS + TESTS, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_module_is_a_noun_and_fits_its_ceiling(path):
    lines = path.read_text(encoding="utf-8").count("\n")

    assert path.stem not in HOMELESS
    assert lines <= (400 if "tests" in path.parts else 300)


@pytest.mark.parametrize("path", OURS, ids=lambda p: str(p.relative_to(ROOT)))
def test_functions_fit_on_a_screen(path):
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            length = body[-1].end_lineno - body[0].lineno + 1 if body else 0
            assert length <= 30, f"{path.name}:{node.lineno} {node.name} has {length} lines"


@pytest.mark.parametrize("path", OURS, ids=lambda p: str(p.relative_to(ROOT)))
def test_assertions_do_not_check_input(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))

    assert not [node.lineno for node in ast.walk(tree) if isinstance(node, ast.Assert)]


def test_nothing_else_lies_at_the_top():
    found = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}

    assert found - MADE_AT_RUN_TIME <= TOP_LEVEL
