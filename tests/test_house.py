"""Rules of the house that a test can enumerate."""

import ast
import importlib.metadata
import re
import sys
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
OURS = [
    p for top in ("outreach", "diversion") for p in (ROOT / top).rglob("*.py") if "migrations" not in p.parts
]
TESTS = [p for top in ("tests", "fixtures") for p in (ROOT / top).rglob("*.py")]
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
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
WRITTEN = {".py", ".html", ".txt", ".md", ".toml", ".css", ".js", ".svg", ".po", ""}
# What belongs to the making of the code and not to the code. Letters in brackets keep this list out of it.
NOT_OURS_TO_SAY = re.compile(
    r"\btran[s]cripts?\b|/wor[k]/|\bissue[ ]#?\d|(?-i:\bhelper [A-Z]\b)|\bsub-?agen[t]|\bfarm-studi[o]"
    r"|\bpy[p]i\b|pythonhoste[d]|\bnpm[j]s|crates[.]i[o]|proxy\.gola[n]g",
    re.IGNORECASE,
)
OUTSIDE_FOLDER = re.compile(r"""\bshare[d]["']? ?/""")
# These read a folder beside the repository, and skip where it is not there.
READS_OUTSIDE = {"tests/diversion/test_quantities_on_paper.py", "tests/intake/test_raw_season.py"}
# Django picks these up by itself when it is set to; nothing of ours names them.
PICKED_UP_BY_DJANGO = {"argon2-cffi", "psycopg"}


@pytest.mark.parametrize("path", OURS + TESTS, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_module_is_a_noun_and_fits_its_ceiling(path):
    lines = path.read_text(encoding="utf-8").count("\n")

    assert path.stem not in HOMELESS
    assert lines <= (300 if path in OURS else 400)


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


def test_the_repository_speaks_of_its_subject_only():
    found = []
    for path in _written_by_us():
        name, text = str(path.relative_to(ROOT)), path.read_text(encoding="utf-8")
        found += [f"{name}: {match[0]}" for match in NOT_OURS_TO_SAY.finditer(text)]
        if name not in READS_OUTSIDE:
            found += [f"{name}: {match[0]}" for match in OUTSIDE_FOLDER.finditer(text)]

    assert not found


def test_tests_that_read_a_folder_outside_skip_without_it():
    for name in READS_OUTSIDE:
        assert "skipif(not " in (ROOT / name).read_text(encoding="utf-8"), name


def test_every_dependency_says_what_it_is_for():
    lines = (ROOT / "pyproject.toml").read_text(encoding="utf-8").splitlines()
    said = {line.split('"')[1] for line in lines if re.match(r'    "[^"]+",\s*# \w', line)}

    assert said >= {one for group in _dependencies().values() for one in group}


def test_what_is_imported_is_named_as_a_dependency():
    dependencies = {part: {_name(one) for one in group} for part, group in _dependencies().items()}

    assert _imported(OURS) <= dependencies["run"]
    assert _imported(TESTS) <= dependencies["run"] | dependencies["test"]


def test_every_dependency_of_the_site_is_used():
    words = {word for path in OURS for word in re.findall(r"\w+", path.read_text(encoding="utf-8"))}
    modules = importlib.metadata.packages_distributions()
    mentioned = {_name(dist) for module, dists in modules.items() if module in words for dist in dists}

    assert {_name(one) for one in _dependencies()["run"]} - mentioned <= PICKED_UP_BY_DJANGO


def _written_by_us() -> list[Path]:
    tops = [p for p in ROOT.iterdir() if p.name in TOP_LEVEL | {".ci", ".gitignore"}]
    files = [file for top in tops for file in ([top] if top.is_file() else top.rglob("*"))]
    return [
        file
        for file in files
        if file.is_file() and file.suffix in WRITTEN and not {"vendor", "__pycache__"} & set(file.parts)
    ]


def _dependencies() -> dict[str, list[str]]:
    return {"run": PROJECT["dependencies"], **PROJECT["optional-dependencies"]}


def _name(requirement: str) -> str:
    """The name of a distribution as indexes spell it: 'Django>=5.2' → 'django'."""
    return re.sub(r"[-_.]+", "-", re.match(r"[\w.-]+", requirement)[0]).lower()


def _imported(paths: list[Path]) -> set[str]:
    """Distributions of the modules that files import, without Python's own and ours."""
    modules = set()
    for path in paths:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Import):
                modules |= {alias.name.split(".")[0] for alias in node.names}
            elif isinstance(node, ast.ImportFrom) and node.level == 0:
                modules.add(node.module.split(".")[0])
    theirs = modules - sys.stdlib_module_names - {"outreach", "diversion", "tests"}
    dists = importlib.metadata.packages_distributions()
    return {_name(dists[module][0]) if module in dists else module for module in theirs}
