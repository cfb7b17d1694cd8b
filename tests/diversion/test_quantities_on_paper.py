"""Amounts as they stand in a season of invented paperwork; skipped where that paperwork is absent."""

import csv
from pathlib import Path

import pytest

from diversion.quantities import Material, NotAnAmount, Period, read_amount

EXPORT = Path(__file__).parents[3] / "shared" / "raw-season" / "followup_answers.csv"
COLUMNS = {
    "Food scraps per week": (Material.FOOD, Period.WEEK),
    "Yard trimmings per week": (Material.YARD, Period.WEEK),
}


@pytest.mark.skipif(not EXPORT.exists(), reason="the invented season is not beside this checkout")
def test_every_amount_is_read_but_the_one_that_names_no_container():
    refused = set()
    with EXPORT.open(newline="", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            for column, (material, per) in COLUMNS.items():
                if row[column]:
                    try:
                        amount = read_amount(row[column], material=material, per=per)
                    except NotAnAmount:
                        refused.add(row[column])
                    else:
                        assert amount.implausible is None

    assert refused == {"one container"}
