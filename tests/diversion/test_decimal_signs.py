"""Point or comma: decided by what the same people write elsewhere, else asked. Worked out by hand."""

import math

import pytest

from diversion.decimal_signs import DecimalSign, decimal_sign_in, is_ambiguous, number_in, written_plainly
from diversion.quantities import Material, NotAnAmount, Period, read_amount

POINT, COMMA, NOT_SAID, BOTH = DecimalSign.POINT, DecimalSign.COMMA, DecimalSign.NOT_SAID, DecimalSign.BOTH


@pytest.mark.parametrize(
    ("texts", "sign"),
    [
        (["1,5 litros", "1.000 litros"], COMMA),
        (["0,500 kg"], COMMA),
        (["1.250,75 litros"], COMMA),
        (["1.000.000"], COMMA),
        (["1.5 gal", "1,000"], POINT),
        ([".5 gal"], POINT),
        (["1,250.75"], POINT),
        (["1,000,000"], POINT),
        (["2 gallons", "1.000 l", "1,000 l", ""], NOT_SAID),
        (["1,2,3", "1.2,3.4", "12.34,5"], NOT_SAID),
        (["1,5 gal", "2.5 gal"], BOTH),
    ],
)
def test_the_sign_is_what_the_certain_numbers_show(texts, sign):
    assert decimal_sign_in(texts) is sign


@pytest.mark.parametrize(
    ("text", "sign", "plainly"),
    [
        ("1.000 litros", COMMA, "1000 litros"),
        ("1,500 litros", COMMA, "1.5000 litros"),
        ("1.000 gal", POINT, "1.0000 gal"),
        ("1,500 gal", POINT, "1500 gal"),
        ("1,5 y 2 bolsas", COMMA, "1,5 y 2 bolsas"),
        ("1.000 litros", NOT_SAID, "1.000 litros"),
        ("1,000 litros", BOTH, "1,000 litros"),
    ],
)
def test_a_number_is_written_in_the_one_way_that_is_meant(text, sign, plainly):
    assert written_plainly(text, sign) == plainly


@pytest.mark.parametrize(
    ("piece", "number"),
    [
        ("7", 7),
        (".5", 0.5),
        ("1,5", 1.5),
        ("0.500", 0.5),
        ("0,500", 0.5),
        ("1,000", 1000),
        ("1,000,000", 1_000_000),
        ("1.000.000", 1_000_000),
        ("1.250,75", 1250.75),
        ("1,250.75", 1250.75),
        ("1000.000", 1000),
    ],
)
def test_numbers_that_can_be_read_in_one_way(piece, number):
    assert number_in(piece) == number
    assert not is_ambiguous(piece)


@pytest.mark.parametrize("piece", ["1,2,3", "1.2.3", "12,34.5", "1,000,00", "1.000.000,0,1"])
def test_signs_that_make_no_number(piece):
    assert math.isnan(number_in(piece))


@pytest.mark.parametrize(
    ("piece", "sign", "ambiguous"),
    [
        ("1.000", NOT_SAID, True),
        ("1,000", NOT_SAID, False),
        ("1,000", BOTH, True),
        ("1.000", COMMA, False),
        ("1.5", BOTH, False),
    ],
)
def test_one_or_a_thousand(piece, sign, ambiguous):
    assert is_ambiguous(piece, sign) is ambiguous


def test_an_amount_that_may_be_one_or_a_thousand_is_asked_for_again():
    with pytest.raises(NotAnAmount, match="can be 1 or 1000; write the whole number"):
        read_amount("1.000 litres", material=Material.FOOD, per=Period.WEEK)


def test_half_a_litre_with_three_decimals_is_no_five_hundred():
    amount = read_amount("0,500 litros", material=Material.FOOD, per=Period.WEEK)

    assert amount.millilitres_per_week == 500
