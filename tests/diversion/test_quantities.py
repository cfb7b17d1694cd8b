"""What people write, and what it comes to. Expectations are worked out here from the definition of the units.

1 US gallon = 3.785411784 L, 1 lb = 0.45359237 kg, 1 cubic yard = 764.554857984 L (exact by definition); a 5-gallon
bucket, a 32-gallon barrel and a 30-gallon paper yard bag are nominal sizes: common practice, no source.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from diversion.quantities import Amount, Material, NotAnAmount, Period, litres_from_name, read_amount

GALLON_ML, POUND_G, YARD_ML = 3785.411784, 453.59237, 764554.857984
WEEKS_A_MONTH = 52.1775 / 12


def food(text: str, per: Period = Period.WEEK) -> Amount:
    return read_amount(text, material=Material.FOOD, per=per)


def yard(text: str, per: Period = Period.WEEK) -> Amount:
    return read_amount(text, material=Material.YARD, per=per)


@pytest.mark.parametrize(
    ("text", "gallons"),
    [
        ("2 gallons", 2),
        ("1.2 gal", 1.2),
        ("3 quarts", 3 / 4),
        ("16 qts", 4),
        ("½ bucket", 2.5),
        ("1½ buckets", 7.5),
        ("1 1/2 buckets", 7.5),
        ("2 five-gallon buckets", 10),
        ("2 x 5 gal buckets", 10),
        ("5 gallon bucket", 5),
        ("a 2 gallon bucket", 2),
        ("one 20 gal can", 20),
        ("2 half-gallon cartons", 1),
        ("one half gallon", 0.5),
        ("half a gallon", 0.5),
        ("two and a half gallons", 2.5),
        ("a gallon and a half", 1.5),
        ("0.7 barrels (32 gal)", 22.4),
        ("2 buckets (10 gal)", 10),
        ("2 buckets (3 gal)", 6),
        ("2 buckets of 3 gallons", 6),
        ("2 buckets 3 gallons each", 6),
        ("bucket", 5),
        ("bucket 3/4 full", 3.75),
        ("half full bucket", 2.5),
        ("a bucket (half full)", 2.5),
        ("50% of a bucket", 2.5),
        ("50 percent of a bucket", 2.5),
        ("three quarters of a bucket", 3.75),
        ("two thirds of a gallon", 2 / 3),
        ("half a pail", 0.5),
        ("a couple of pails", 2),
        ("two gallons", 2),
        ("a gallon", 1),
        ("dozen quarts", 3),
        ("1-1/2 gallons", 1.5),
        ("2 x 5 gal", 10),
        ("3 gal x 2", 6),
        ("1 gallon and 2 quarts", 1.5),
        ("1 gallon + 2 quarts", 1.5),
        ("2 gallons of food scraps", 2),
        ("2 gallons of coffee grounds", 2),
        ("2 gallons from my yard, more or less", 2),
        ("1 bushel", 9.309177489),  # 2150.42 cubic inches / 231
        ("16 cups", 1),
        ("128 fl oz", 1),
    ],
)
def test_a_volume_is_a_number_of_something_with_a_size(text, gallons):
    amount = food(text)

    assert amount.grams_per_week is None
    assert amount.millilitres_per_week == round(gallons * GALLON_ML)


@pytest.mark.parametrize(
    ("text", "grams"),
    [
        ("3 lbs", 3 * POUND_G),
        ("13 pounds", 13 * POUND_G),
        ("8 oz", POUND_G / 2),
        ("3 kg", 3000),
        ("1.5 kilos", 1500),
        ("250 g", 250),
        ("2 bags of 3 lbs", 6 * POUND_G),
        ("2 3-lb bags", 6 * POUND_G),
        ("2 x 3 lb", 6 * POUND_G),
        ("2 lb and 4 oz", 2.25 * POUND_G),
        ("1 pound of coffee", POUND_G),
    ],
)
def test_a_weight_stays_a_weight(text, grams):
    amount = food(text)

    assert amount.millilitres_per_week is None
    assert amount.grams_per_week == round(grams)
    assert amount.container is None


@pytest.mark.parametrize(
    ("text", "gallons_a_week"),
    [
        ("full pail 2x week", 2),
        ("twice a week a full bucket", 10),
        ("a bucket twice", 10),
        ("once a week 1 pail", 1),
        ("once or twice a week a pail", 1.5),
        ("3-4 times a week, a pail", 3.5),
        ("a bucket every other week", 2.5),
        ("a bucket every two weeks", 2.5),
        ("a bucket a fortnight", 2.5),
        ("2 gallons every day", 14),
        ("2 gal. daily", 14),
        ("2 gallons/wk", 2),
        ("2 gallons per month", 2 / WEEKS_A_MONTH),
        ("2 gallons monthly", 2 / WEEKS_A_MONTH),
        ("over the year 52.1775 gallons", 1),
    ],
)
def test_a_period_in_the_text_goes_before_the_one_that_was_asked(text, gallons_a_week):
    by_week, by_month = food(text), food(text, Period.MONTH)

    assert by_week.millilitres_per_week == round(gallons_a_week * GALLON_ML)
    if text != "a bucket twice":
        assert by_month == by_week


def test_a_month_is_the_mean_month_of_the_calendar():
    assert yard("1 bag", Period.MONTH).millilitres_per_week == round(30 * GALLON_ML / WEEKS_A_MONTH)
    assert yard("0.01 cu yd", Period.MONTH).millilitres_per_week == round(0.01 * YARD_ML / WEEKS_A_MONTH)
    assert yard("2 yd³").millilitres_per_week == round(2 * YARD_ML)
    assert food("500 ml", Period.WEEK).millilitres_per_week == 500
    assert Period.MONTH.weeks == pytest.approx(4.348125)


@pytest.mark.parametrize(
    ("text", "gallons"),
    [
        ("2 galones", 2),
        ("1,5 galones", 1.5),
        ("media cubeta", 2.5),
        ("una cubeta y media", 7.5),
        ("2 cubetas de 5 galones", 10),
        ("dos galones a la semana", 2),
        ("un balde lleno dos veces por semana", 10),
        ("2 baldes cada dos semanas", 5),
        ("medio galón diario", 3.5),
        ("un cuarto de galón", 0.25),
        ("tres cuartos de cubeta", 3.75),
        ("2 cuartos", 0.5),
        ("once galones", 11),
        ("entre 1 y 2 galones", 1.5),
        ("de 1 a 2 galones", 1.5),
        ("más de 2 galones", 2),
        ("menos de un balde", 2.5),
    ],
)
def test_spanish_is_understood_as_well(text, gallons):
    assert food(text).millilitres_per_week == round(gallons * GALLON_ML)


def test_spanish_weights_and_bags_are_understood_as_well():
    assert food("3 libras").grams_per_week == round(3 * POUND_G)
    assert yard("2 wheelbarrow loads").container == "wheelbarrow"
    assert yard("dos bolsas").millilitres_per_week == round(60 * GALLON_ML)


@pytest.mark.parametrize(
    ("text", "gallons", "says"),
    [
        ("1-2 gallons", 1.5, "the middle of 1 to 2"),
        ("2 or 3 gallons", 2.5, "the middle of 2 to 3"),
        ("between 1 and 2 gallons", 1.5, "the middle of 1 to 2"),
        ("less than 2 quarts", 0.25, "taken as half"),
        ("up to a gallon", 0.5, "taken as half"),
        ("<1 gal", 0.5, "taken as half"),
        ("less than one container", 0.25, "less than 1 half gallon"),
        ("menos de un envase", 0.25, "taken as half"),
        ("more than 2 gallons", 2, "more than"),
        ("2+ gallons", 2, "more than"),
        ("2 or more gallons", 2, "more than"),
        ("2 gallons or more", 2, "more than"),
        ("2 pails or less", 1, "taken as half"),
        ("2~3 gallons", 2.5, "the middle of 2 to 3"),
    ],
)
def test_an_inexact_number_is_taken_at_its_middle_and_says_so(text, gallons, says):
    amount = food(text)

    assert amount.millilitres_per_week == round(gallons * GALLON_ML)
    assert says in amount.understood_as


def test_less_than_one_container_of_trimmings_is_half_of_the_smallest_offered():
    assert yard("less than one container").millilitres_per_week == round(2.5 * GALLON_ML)


@pytest.mark.parametrize(
    "text", ["none", "0", "nothing", "Nada", "zero", "0 gallons", "none this week", "0 lb", "0 bags"]
)
def test_nothing_is_an_amount(text):
    amount = food(text)

    assert (amount.millilitres_per_week, amount.grams_per_week) == (0, None)
    assert amount.understood_as == "no food"


@pytest.mark.parametrize(
    ("text", "because"),
    [
        ("", "no amount"),
        ("gallons", "no amount"),
        ("yes", "no amount"),
        ("lbs", "no amount"),
        ("a lot", "does not commit"),
        ("depends", "does not commit"),
        ("some", "does not commit"),
        ("N/A", "does not commit"),
        ("un poco", "does not commit"),
        ("2 gallons biweekly", "does not commit"),
        ("5/0 gallons", "does not commit"),
        ("1.2.3 gallons", "does not commit"),
        ("one container", "which container"),
        ("3", "which container"),
        ("1-2", "which container"),
        ("2 bags", "which container"),
        ("a small bag", "which container"),
        ("less than 3 containers", "which container"),
        ("2-5 gallon buckets", "more than one way"),
        ("3-1 gallons", "more than one way"),
        ("4 pails in summer", "does not commit"),
        ("2 gallons 8 lbs", "more than one way"),
        ("2 gallons and 8 lbs", "more than one way"),
        ("2 gallons a week, 8 a month", "more than one way"),
        ("2 gallons since 2023", "more than one way"),
        ("-2 gallons", "negative"),
        ("minus 3 gallons", "negative"),
        ("food -3 gal", "negative"),
        ("99999999999999 gallons", "larger than anything"),
        ("9" * 400 + " gallons", "too long"),
        ("9" * 190 + " gal", "larger than anything"),
    ],
)
def test_what_is_no_amount_says_why(text, because):
    with pytest.raises(NotAnAmount, match=because) as refused:
        food(text)

    assert refused.value.text == text
    assert because in refused.value.reason


def test_a_plastic_bag_of_trimmings_has_no_known_size():
    with pytest.raises(NotAnAmount, match="which container"):
        yard("3 plastic bags")


def test_what_it_was_understood_as_can_be_shown():
    assert food("2 five-gallon buckets").understood_as == "2 × 5-gallon bucket = 37.9 L a week"
    assert yard("1 bag", Period.MONTH).understood_as == "1 × paper yard bag a month = 26.1 L a week"
    assert food("full pail 2x week").understood_as == "1 × kitchen pail, 2 times a week = 7.6 L a week"
    assert food("half a pint").understood_as == "0.5 pint = 0.24 L a week"
    assert food("a pail twice").understood_as.startswith(
        "1 × kitchen pail, 2 times in the period asked about"
    )


def test_quantity_and_container_are_kept_as_said():
    amount = food("1 1/2 buckets")

    assert (amount.quantity, amount.container) == (1.5, "five-gallon-bucket")
    assert food("1 gallon and 2 quarts").container is None
    assert food("one 20 gal can").container is None


@pytest.mark.parametrize(
    ("material", "text"), [("food", "10 cubic yards"), ("yard", "2 yards"), ("browns", "600 lb")]
)
def test_an_absurd_amount_is_read_but_says_why_it_needs_a_look(material, text):
    amount = read_amount(text, material=Material(material), per=Period.WEEK)

    assert amount.implausible is not None
    assert "check with the household" in amount.implausible


def test_an_ordinary_amount_is_plausible():
    assert food("7.1 gal").implausible is None
    assert yard("4 bags", Period.MONTH).implausible is None


def test_an_amount_is_either_a_volume_or_a_weight():
    facts = {"quantity": 1.0, "container": None, "understood_as": "one"}

    with pytest.raises(NotAnAmount, match="either"):
        Amount(millilitres_per_week=1, grams_per_week=1, **facts)
    with pytest.raises(NotAnAmount, match="either"):
        Amount(millilitres_per_week=None, grams_per_week=None, **facts)
    with pytest.raises(NotAnAmount, match="negative"):
        Amount(millilitres_per_week=-1, grams_per_week=None, **facts)


@pytest.mark.parametrize(
    ("name", "litres"),
    [
        ("Folding mesh bin 110 gal", 110 * 3.785411784),
        ("Rigid lidded bin 80 gal", 80 * 3.785411784),
        ("43gal tumbler", 43 * 3.785411784),
        ("Tumbler 2 x 25 gal", 50 * 3.785411784),
        ("Bin 300 L", 300),
        ("Worm box", None),
        ("Bin 0 L", None),
        ("Tumbler, 50 gal or 80 gal", None),
        ("Model 300", None),
    ],
)
def test_the_size_of_a_bin_is_read_out_of_its_name(name, litres):
    assert litres_from_name(name) == (None if litres is None else pytest.approx(litres))


@given(st.text(max_size=80))
def test_no_text_raises_anything_but_not_an_amount(text):
    for material in Material:
        for per in Period:
            try:
                amount = read_amount(text, material=material, per=per)
            except NotAnAmount:
                continue
            assert (amount.millilitres_per_week or amount.grams_per_week or 0) >= 0
    assert litres_from_name(text) is None or litres_from_name(text) > 0


WORDS = (
    "1 2 3/4 ½ -1 .5 1,5 a one half two once twice 5-gallon gallon gallons bucket bag (32 gal) full of x per week "
    "a month every other day times less than more and y media 50% container lb - + or between plus small cuarto de"
)


@given(st.lists(st.sampled_from(WORDS.split()), max_size=9).map(" ".join))
def test_no_mixture_of_known_words_breaks_the_grammar(text):
    try:
        amount = food(text)
    except NotAnAmount:
        return

    assert (amount.millilitres_per_week is None) != (amount.grams_per_week is None)
    assert amount.quantity >= 0
    assert math.isfinite(amount.quantity)
