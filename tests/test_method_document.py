"""docs/method.md prints what `diversion` computes: every example, every setting, every factor."""

import math
import re
from functools import cache
from pathlib import Path

import pytest

from diversion import findings, settings
from diversion.account import compute
from diversion.factors import LATEST, load
from diversion.inputs import MethodSettings
from diversion.season import YardIndex
from outreach.filings import answering, gather_sql, gathering
from outreach.filings.sections.summary import TOLD_US
from tests.factories.diversion import (
    make_inputs,
)
from tests.method_examples import EXAMPLES, exposure_example

ROOT = Path(__file__).resolve().parents[1]
DOCUMENT = ROOT / "docs" / "method.md"
FACTORS = load(LATEST)


@cache
def text() -> str:
    return DOCUMENT.read_text(encoding="utf-8")


def one_line(words: str) -> str:
    return " ".join(words.split())


def printed() -> set[str]:
    """What stands behind a bar in the document."""
    return {one_line(line.removeprefix("> ")) for line in text().splitlines() if line.startswith("> ")}


def sentences_of(example) -> set[str]:
    made = example()
    return {one_line(one) for one in ([made] if isinstance(made, str) else made)}


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example.__name__)
def test_an_example_is_printed_as_computed(example):
    assert sentences_of(example) <= printed()


@pytest.mark.django_db
def test_no_example_stands_there_that_is_not_computed():
    computed = set().union(*(sentences_of(example) for example in (*EXAMPLES, exposure_example)))

    assert printed() == computed


def rows_under(heading: str) -> dict[str, list[str]]:
    """The rows of the table below a heading, by their first cell."""
    below = text().split(f"\n## {heading}\n", 1)[1].split("\n## ", 1)[0]
    rows = [
        [cell.strip() for cell in line.split(" | ")] for line in below.splitlines() if line.startswith("| ")
    ]
    return {first.removeprefix("| "): [cell.rstrip(" |") for cell in rest] for first, *rest in rows[1:]}


def test_settings_are_those_of_the_code():
    found = {name: value for name, (value,) in rows_under("Settings").items()}
    known = {name: getattr(settings, name) for name in vars(settings) if name.isupper()}
    known |= {name: getattr(gathering, name) for name in ("MONTHS_LOOKED_BACK", "DAYS_LOOKED_AHEAD")}
    known |= {"LAG_DAYS": gather_sql.LAG_DAYS}

    assert {name: in_digits(known[name]) for name in found} == found


def in_digits(value) -> str:
    return ", ".join(f"{one:g}" if isinstance(one, float) else str(one) for one in numbers(value))


def numbers(value):
    return value if isinstance(value, tuple) else (value,)


def test_every_factor_of_the_latest_set_stands_there_with_its_source_and_status():
    found = rows_under("Factors")

    assert set(found) == set(FACTORS.by_key)
    for key, factor in FACTORS.by_key.items():
        value, span, unit, source, status = found[key]
        assert (float(value), unit) == (float(f"{factor.value:g}"), factor.unit)
        assert span == (f"{factor.low:g} to {factor.high:g}" if factor.has_range else "")
        assert factor.source in source
        assert factor.locator in source
        assert status.startswith(str(factor.status))


def test_the_table_of_steps_says_what_an_account_applies():
    table = rows_under("What is applied")
    account = compute(make_inputs(settings=MethodSettings()))
    ours = {str(step.number): (step.title, step.applied) for step in account.working.steps}

    assert {number: title for number, (title, _) in table.items()} == {
        number: title for number, (title, _) in ours.items()
    }
    # Several quarters are not applied to one quarter, only to the year to date.
    not_applied = {number for number, (_, said) in table.items() if said.startswith("not applied")}
    assert not_applied == {number for number, (_, applied) in ours.items() if not applied} - {"13"}


def test_every_finding_stands_there_and_those_that_are_only_notes_are_marked():
    found = {name.removesuffix(" *"): name.endswith(" *") for name in rows_under("What would claim too much")}

    assert set(found) == set(
        re.findall(r'code="([a-z-]+)"', Path(findings.__file__).read_text(encoding="utf-8"))
    )
    assert {name for name, is_note in found.items() if is_note} == answering.NOTES


def test_every_version_of_the_method_stands_there():
    rows = text().split("| version | what it brought |\n|---|---|\n", 1)[1].split("\n\n", 1)[0].splitlines()

    assert [row.split(" | ")[0] for row in rows] == [f"| {n}" for n in range(1, settings.METHOD_VERSION + 1)]


def test_it_quotes_what_every_filing_says():
    assert TOLD_US in text()


def test_noise_with_a_right_median_overstates_as_the_document_says():
    assert f"log-sd of 0.5, every total is {100 * (math.exp(0.5**2 / 2) - 1):.1f} % too high" in text()


def test_the_season_overstates_as_the_document_says():
    index = YardIndex.from_months(FACTORS.yard_index_by_month).by_quarter
    asked = {quarter: [index[(quarter - back) % 4] for back in range(6)] for quarter in (0, 1)}
    first, second = (sum(values) / len(values) / index[quarter] for quarter, values in asked.items())

    over, under = 100 * (first - 1), 100 * (1 - second)
    assert f"overstate a first quarter by {over:.0f} % and understate a second by {under:.0f} %" in text()
