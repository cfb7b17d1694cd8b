"""How figures are printed."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from diversion.rounding import counted, printed, printed_share, printed_whole


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (1234.5, "1,230"),
        (1234567.0, "1,230,000"),
        (45.67, "45.7"),
        (0.1234, "0.12"),
        (9.996, "10.0"),
        (99.96, "100"),
        (999.6, "1,000"),
        (0.996, "1.00"),
        (0.125, "0.12"),
        (-3.414, "\N{MINUS SIGN}3.41"),
        (0.003, "under 0.01"),
        (-0.003, "0"),
        (0.0, "0"),
        (1234, "1,234"),
        (None, "\N{EN DASH}"),
    ],
)
def test_three_digits_and_at_most_two_decimals(value, text):
    assert printed(value) == text


@pytest.mark.parametrize(
    ("count", "words", "text"),
    [
        (1, ("answer",), "1 answer"),
        (0, ("answer",), "0 answers"),
        (2, ("answer",), "2 answers"),
        (1, ("person", "people"), "1 person"),
        (1200, ("person", "people"), "1,200 people"),
    ],
)
def test_one_is_not_several(count, words, text):
    assert counted(count, *words) == text


def test_the_unit_does_not_come_loose():
    assert printed(12.34, unit="t") == "12.3\N{NO-BREAK SPACE}t"


@pytest.mark.parametrize(
    ("share", "text"),
    [(0.0, "0"), (0.004, "under 1"), (0.276, "28"), (0.9999, "over 99"), (1.0, "100")],
)
def test_a_share_that_is_neither_never_prints_as_none_or_all(share, text):
    assert printed_share(share) == f"{text}\N{NO-BREAK SPACE}%"


def test_no_share_prints_as_a_dash():
    assert printed_share(None) == "\N{EN DASH}"


@pytest.mark.parametrize(("value", "text"), [(12345.6, "12,346"), (-2.4, "\N{MINUS SIGN}2"), (7, "7")])
def test_counts_print_whole(value, text):
    assert printed_whole(value) == text


@settings(deadline=None)
@given(st.floats(0.01, 1e12))
def test_what_is_printed_is_within_half_of_its_last_digit(value):
    shown = float(printed(value).replace(",", ""))

    assert abs(shown - value) <= max(0.005, 0.005 * value) * 1.0000001
