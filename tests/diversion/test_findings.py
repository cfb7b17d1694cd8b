"""What would over-claim is named, with what to do; what would not is not."""

from dataclasses import replace

import pytest

from diversion import factors
from diversion.errors import OutOfRange
from diversion.findings import FilingFacts, findings

FIRST = factors.load("2026-1")


def make_facts(**differences) -> FilingFacts:
    sound = {
        "workshops_not_closed": (),
        "stock_counts": 2,
        "bins_moved": 40,
        "exceptions_without_reason": 0,
        "yard_claimed_where_banned": (),
        "prior_counted_as_new": 0,
        "answers_in_review": 0,
        "gross_kg_per_active_household_year": 250.0,
        "households_asked": 200,
        "answers": 80,
        "factor_set": FIRST,
        "latest_factor_set": FIRST,
        "household_weeks_funded_twice": 0.0,
        "estimate": 10.0,
        "lower": 8.0,
        "upper": 12.5,
    }
    return FilingFacts(**{**sound, **differences})


def test_a_sound_filing_has_no_findings():
    assert findings(make_facts()) == ()


@pytest.mark.parametrize(
    ("difference", "says"),
    [
        ({"stock_counts": 0, "bins_moved": 1}, "1 bin moved in the period"),
        ({"exceptions_without_reason": 1}, "1 exception to the rule has no reason."),
        ({"answers_in_review": 1}, "1 answer waits in review and is not in the figure."),
        ({"prior_counted_as_new": 1}, "1 household that composted before is counted as new."),
        ({"answers": 1, "households_asked": 2}, "The figure rests on 1 answer;"),
    ],
)
def test_one_is_spoken_of_as_one(difference, says):
    (found,) = findings(make_facts(**difference))

    assert found.headline.startswith(says)


@pytest.mark.parametrize(
    ("difference", "code", "says"),
    [
        ({"workshops_not_closed": ("Mill Hall, 3 May",)}, "workshop-not-closed", "Mill Hall, 3 May"),
        ({"stock_counts": 0}, "stock-not-counted", "40 bins"),
        ({"exceptions_without_reason": 3}, "exception-without-reason", "3 exceptions"),
        ({"yard_claimed_where_banned": ("Ashby", "Cole")}, "yard-where-banned", "Ashby, Cole"),
        ({"prior_counted_as_new": 2}, "prior-counted-as-new", "2 households"),
        ({"answers_in_review": 5}, "answers-in-review", "5 answers"),
        ({"gross_kg_per_active_household_year": 438.0}, "above-highest-weighed", "437 kg"),
        ({"answers": 39}, "few-answered", "20 %"),
        ({"answers": 29, "households_asked": 100}, "few-answers", "29 answers"),
        ({"latest_factor_set": replace(FIRST, name="2031-1", digest="x")}, "factor-set-outdated", "2031-1"),
        ({"household_weeks_funded_twice": 1234.0}, "funded-twice", "1,234 household-weeks"),
        ({"lower": 5.0, "upper": 15.5}, "interval-wider-than-estimate", "wider"),
        ({"estimate": -1.0, "lower": -3.0, "upper": 1.0}, "interval-wider-than-estimate", "wider"),
    ],
)
def test_each_way_to_over_claim_is_named_with_what_to_do(difference, code, says):
    (found,) = findings(make_facts(**difference))

    assert found.code == code
    assert says in found.headline
    assert found.what_to_do.endswith(".")
    assert found.figures or code == "factor-set-outdated"


@pytest.mark.parametrize(
    "difference",
    [
        {"stock_counts": 0, "bins_moved": 0},
        {"gross_kg_per_active_household_year": None},
        {"gross_kg_per_active_household_year": 437.0},
        {"answers": 40},
        {"answers": 30, "households_asked": 0},
        {"estimate": None, "lower": None, "upper": None},
        {"lower": None},
        {"lower": 5.0, "upper": 15.0},
    ],
)
def test_what_is_just_within_bounds_is_not_named(difference):
    assert findings(make_facts(**difference)) == ()


def test_everything_at_once_is_listed_records_first():
    found = findings(
        make_facts(stock_counts=0, prior_counted_as_new=1, answers=10, exceptions_without_reason=1)
    )

    assert [finding.code for finding in found] == [
        "stock-not-counted",
        "exception-without-reason",
        "prior-counted-as-new",
        "few-answered",
        "few-answers",
    ]


@pytest.mark.parametrize("name", ["stock_counts", "answers", "household_weeks_funded_twice"])
def test_counts_are_not_negative(name):
    with pytest.raises(OutOfRange, match=name):
        make_facts(**{name: -1})
