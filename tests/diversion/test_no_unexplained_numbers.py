"""Numbers live in factor tables, named settings and named tables; estimator code holds none but 0, 1 and 2."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import diversion

PACKAGE = Path(diversion.__file__).parent
TABLES = {
    "conversions.py",  # units, exact by definition
    "containers.py",  # sizes of containers, each with its source
    "amount_words.py",  # what number words mean
    "settings.py",  # numbers that we chose, each with its reason
    "factors/choices.py",  # the horizons that one can choose
    "normal_table.py",  # coefficients of a published approximation
    "student_table.py",  # likewise
    "lattice_table.py",  # multipliers that a search found
}
ESTIMATORS = [path for path in sorted(PACKAGE.rglob("*.py")) if str(path.relative_to(PACKAGE)) not in TABLES]
INNOCENT = {0, 1, 2}


def unexplained_numbers(source: str) -> Iterator[tuple[int, float]]:
    for node in ast.walk(ast.parse(source)):
        is_number = isinstance(node, ast.Constant) and type(node.value) in {int, float, complex}
        if is_number and node.value not in INNOCENT:
            yield node.lineno, node.value


@pytest.mark.parametrize("path", ESTIMATORS, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_an_estimator_holds_no_number_of_its_own(path):
    assert list(unexplained_numbers(path.read_text(encoding="utf-8"))) == []


def test_the_walk_finds_a_number_wherever_it_hides():
    source = "def f(x, y=7):\n    return [x * 3.5, {'a': -4}, x[5:], f'{x:.2f}', True, 1 / 2]\n"

    assert sorted(value for _, value in unexplained_numbers(source)) == [3.5, 4, 5, 7]


def test_each_table_still_exists():
    missing = {name for name in TABLES if not (PACKAGE / name).exists()} - {"normal_table.py"}

    assert missing == set()
