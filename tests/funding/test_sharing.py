"""Parting a whole: nothing over, nothing left."""

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from outreach.funding.sharing import parted
from outreach.funding.spending import in_dollars


def test_one_that_is_left_open_takes_what_the_others_leave():
    assert parted(10_000, [("grant", 3333), ("city", None)], in_dollars) == {"grant": 3333, "city": 6667}


def test_the_only_one_takes_all():
    assert parted(10_000, [("grant", None)], in_dollars) == {"grant": 10_000}


@pytest.mark.parametrize(
    ("wanted", "sentence"),
    [
        ([("grant", 3000), ("city", 6999)], r"fall short by \$0\.01"),
        ([("grant", 10_000), ("city", 10_000)], r"\$100\.00 too much"),
        ([("grant", 10_000), ("city", None)], "leave nothing for the last"),
        ([("grant", None), ("city", None)], "at most one share empty"),
        ([("grant", 5000), ("grant", 5000)], "each of them once"),
    ],
)
def test_what_does_not_add_up_is_refused_in_words(wanted, sentence):
    with pytest.raises(ValidationError, match=sentence):
        parted(10_000, wanted, in_dollars)


@given(st.integers(1, 10**9), st.lists(st.integers(1, 10**8), max_size=5))
def test_shares_sum_to_the_last_cent_or_are_refused(whole, amounts):
    wanted = [*enumerate(amounts), ("rest", None)]

    try:
        shares = parted(whole, wanted, in_dollars)
    except ValidationError:
        assert sum(amounts) >= whole
    else:
        assert sum(shares.values()) == whole
        assert min(shares.values()) > 0
