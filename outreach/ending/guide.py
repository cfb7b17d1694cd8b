"""The reading guide that goes along with the open files, in plain words."""

from collections.abc import Sequence
from datetime import datetime

from django.utils import timezone

from outreach.ending.tables import Table

HEAD = """# Records of a home-composting programme

Written {day}. Nothing here needs the software that made it: every table is a CSV file in UTF-8, with commas and a
row of headings. Any spreadsheet or statistics program opens it.

## What lies where

- `tables/`: one file a table. They name nobody and hold no address. Rows are still about single households: count
  and add them up, do not publish them.
- `personal/`: **names, addresses, ways to reach people, what they wrote, and the paperwork as it was taken in.** Keep
  this folder apart, for those only who may read it, and delete it when its time is over. Everything in `tables/` can
  be read without it.
- `filings/`: each filing as it was submitted.
- `datapackage.json`: for programs, what each column is (a Frictionless Data Package). It has the SHA-256 of each table.

## How to read the tables

- A row is found by its `id`. A column that ends in `_id` holds the id of a row of the table that its description names.
  A file in `personal/` has the same ids as the file of the same name in `tables/`.
- Days end in `_on`, instants in `_at` (with their offset from UTC), people of the staff in `_by_id`. Amounts are in the
  unit that the column ends in: `_ml`, `_g`, `_cents`. A column that ends in `_day` counts days: 1 is 1 January of
  the year 1.
- `counted_under_id` is the household that a row counts for; `household_id` the one it was written under. They differ
  where two records turned out to be one home.
- An empty cell means that nothing was said. Lists within a cell are JSON.
- A cell that begins with an apostrophe and then =, +, - or @ is text, so that no spreadsheet takes it for a formula.

## Where the figures are

`filings_filing` has every filing with its report and the sums that it was computed from; `filings_filingline` one line
for each household behind it, under a random number that leads nowhere else. The figures are estimates from what
households told the programme, not measurements.

## The tables

"""


def guide(tables: Sequence[Table], at: datetime) -> str:
    """The whole guide."""
    lines = [f"- `{table.path}`: {table.about}" for table in tables]
    return HEAD.format(day=f"{timezone.localdate(at):%Y-%m-%d}") + "\n".join(lines) + "\n"
