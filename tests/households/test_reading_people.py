"""Names, phones and e-mail addresses as sheets have them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from outreach.households.emails import read_email
from outreach.households.names import read_name
from outreach.households.phones import read_phone

SHOWN = [
    ("Lindqvist, ADA M.", "Ada M. Lindqvist"),
    ("BRAM ST.CLAIR", "Bram St.Clair"),
    ("talia o’dell", "Talia O'Dell"),
    ("TALIA O'DELL", "Talia O'Dell"),
    ("MCKAY, JOHN", "John McKay"),
    ("MACDONALD, AILSA", "Ailsa MacDonald"),
    ("MACHADO, RUI", "Rui Machado"),
    ("JUAN DE LA CRUZ", "Juan de la Cruz"),
    ("van Gogh, Vincent", "Vincent van Gogh"),
    ("GARCIA-LOPEZ, MARIA", "Maria Garcia-Lopez"),
    ("TJ Smith", "TJ Smith"),
    ("Smith, John, Jr.", "John Smith Jr."),
    ("Dr. Ada Ueda", "Ada Ueda"),
    ("  zoë   muñoz ", "Zoë Muñoz"),
    ("DeShawn LeBeau", "DeShawn LeBeau"),
]
ONE_PERSON = [
    ("Ada Lindqvist", "LINDQVIST, ADA", "Lindqvist, Ada M.", "ada lindqvist", "Ada M Lindqvist"),
    ("Bram St.Clair", "BRAM ST. CLAIR", "Bram St Clair", "StClair, Bram"),
    ("Talia O'Dell", "O’DELL, TALIA", "talia odell", "Talia O' Dell"),
    ("Juan de la Cruz", "DE LA CRUZ, JUAN", "Juan De La Cruz", "Juan Delacruz"),
    ("Zoë Muñoz", "ZOE MUNOZ"),
    ("Maria Garcia-Lopez", "Garcia Lopez, Maria"),
    ("John McKay", "JOHN MC KAY"),
]
TWO_PEOPLE = [
    ("John Smith", "John Smith Jr."),
    ("Ada Lindqvist", "Ida Lindqvist"),
    ("Minh Le", "Minh Lee"),
    ("A Smith", "B Smith"),
]


@pytest.mark.parametrize(("written", "shown"), SHOWN)
def test_names_are_shown_in_ordinary_letters_given_name_first(written, shown):
    assert read_name(written).full_name == shown


@pytest.mark.parametrize("spellings", ONE_PERSON, ids=lambda row: row[0])
def test_spellings_of_one_name_meet(spellings):
    assert len({read_name(spelling).name_key for spelling in spellings}) == 1


@pytest.mark.parametrize(("one", "other"), TWO_PEOPLE)
def test_different_names_stay_apart(one, other):
    assert read_name(one).name_key != read_name(other).name_key


def test_two_columns_are_one_name():
    assert read_name(first="ADA", last="LINDQVIST") == read_name("Lindqvist, Ada")


@pytest.mark.parametrize("text", ["", None, "12", "-", "ada@example.org", 417])
def test_what_is_no_name_is_none(text):
    assert read_name(text) == ("", "")


letters = st.text(st.characters(codec="utf-8", categories=["L", "P", "Zs", "N"]), max_size=40)


@given(letters)
def test_reading_a_name_twice_changes_nothing(text):
    once = read_name(text)

    assert read_name(once.full_name).name_key == once.name_key


@pytest.mark.parametrize(
    "text",
    [
        "503.555.0178",
        "(503) 555-0178",
        "+1 503 555 0178",
        "1-503-555-0178",
        5035550178,
        5035550178.0,
        "503 5550178",
    ],
)
def test_spellings_of_one_phone_meet(text):
    assert read_phone(text) == ("503-555-0178", "5035550178")


def test_a_phone_without_area_code_and_one_with_an_extension():
    assert read_phone("555-0178") == ("555-0178", "5550178")
    assert read_phone("503-555-0178 x12") == ("503-555-0178 ext. 12", "5035550178")


@pytest.mark.parametrize(
    "text", ["", None, "n/a", "12", "call my son", "503-555-01789999", "ada@example.org"]
)
def test_what_is_no_phone_is_none(text):
    assert read_phone(text) == ("", "")


@pytest.mark.parametrize(
    "text",
    [
        "Ada@Example.ORG",
        " ada@example.org ",
        "<ada@example.org>",
        "mailto:ada@example.org",
        "ADA@EXAMPLE.ORG;",
    ],
)
def test_spellings_of_one_email_meet(text):
    assert read_email(text) == "ada@example.org"


@pytest.mark.parametrize("text", ["", None, "ada at home", "ada@", "503-555-0178", "n/a"])
def test_what_is_no_email_is_none(text):
    assert read_email(text) == ""
