"""Addresses: spellings that mean one door meet, others stay apart.

Rules after USPS Publication 28, Postal Addressing Standards; the sections and appendices named below are
from memory.
"""

import time

import pytest
import usaddress
from hypothesis import given, settings
from hypothesis import strategies as st

from outreach.places.addresses import read_address

SAME_STREET = [
    # appendix C1: a suffix in any of its spellings
    ("206 Marsh St", "206 MARSH STREET", "206 marsh st.", "206  Marsh   Str."),
    ("12 Kestrel Ave", "12 Kestrel Av.", "12 KESTREL AVENUE", "12 kestrel aven"),
    ("9 Mill Creek Rd", "9 Mill Crk. Road"),
    # appendix B: directionals before and after the name
    ("12 N Main St", "12 North Main Street", "12 n. main st."),
    ("100 Park Ave W", "100 Park Avenue West"),
    ("12 NE Alder Pl", "12 N.E. Alder Place", "12 Northeast Alder Pl.", "12 North East Alder Place"),
    # section 235: numbered streets
    ("42 1st St", "42 First Street", "42 1ST ST"),
    ("42 21st Ave", "42 Twenty-First Avenue", "42 Twenty First Ave", "42 21 Ave"),
    # section 237: highways
    ("4500 US Highway 12", "4500 U.S. Hwy 12", "4500 US HWY. 12"),
    ("45 County Road 12", "45 CR 12", "45 Co. Rd. 12", "45 COUNTY RD 12"),
    # Saint is part of the name, not a street
    ("12 St Clair Ave", "12 St. Clair Avenue", "12 Saint Clair Ave", "12 St.Clair Av."),
    ("12 O'Dell Ct", "12 ODELL COURT", "12 O’Dell Ct."),
    ("12 Peña Ln", "12 PENA LANE"),
    ("12 1/2 Main St", "12½ Main St."),
    ("123A Main St", "123-A Main Street"),
    ("12 Main St", "12 Main St Apt", "12 Main St #", "12 Main St -"),
]
DIFFERENT_STREETS = [
    ("12 Main St", "12 Main Ave"),
    ("12 Main St", "14 Main St"),
    ("12 N Main St", "12 S Main St"),
    ("12 N Main St", "12 Main St"),
    ("12 Main St", "12 Main St N"),
    ("12 1st St", "12 2nd St"),
    ("12 North St", "12 St"),
    ("12 St Clair Ave", "12 Clair Ave"),
    ("12A Main St", "12 Main St"),
    ("12 Avenue C", "12 Avenue D"),
    ("12 Kestrel Ct", "12 Kestrel Ave"),
]
SAME_UNIT = [
    ("12 Main St #4", "12 Main St apt. 4", "12 Main St, Unit 4", "12 Main St Apt4", "Apt 4, 12 Main St"),
    ("12 Main St # 4", "12 MAIN ST. SUITE 4", "12 Main St Unit #4", "12 Main St Unit No. 4", "12 Main St 4"),
    ("12 Main St Apt 4B", "12 Main St #4-B", "12 Main St apt 4 b", "12 Main St Unit 4-b"),
    ("12 Main St Apt B", "12 Main St #B", "12 Main St, B"),
    ("12 Main St Bldg C Apt 4", "12 Main St Building C, Unit 4", "12 Main St Bldg. C #4"),
    ("12 Main St Fl 2", "12 Main St 2nd Floor", "12 Main St, Floor 2"),
    ("12 Main St Rear", "12 Main St, REAR", "12 Main St (rear)"),
    ("12 Main St Upper", "12 Main St upstairs", "12 Main St, Uppr."),
    ("12 Main St #7", "12 Main St - Apt 7", "12 Main St/Apt 7", "12 Main St; Apt 7"),
]
DIFFERENT_UNITS = [
    ("12 Main St #4", "12 Main St #5"),
    ("12 Main St #4", "12 Main St"),
    ("12 Main St #4", "12 Main St #4B"),
    ("12 Main St Apt 2", "12 Main St Fl 2"),
    ("12 Main St Bldg A #4", "12 Main St Bldg B #4"),
]


@pytest.mark.parametrize("spellings", SAME_STREET, ids=lambda row: row[0])
def test_spellings_of_one_street_meet(spellings):
    keys = {read_address(spelling).street_key for spelling in spellings}

    assert len(keys) == 1
    assert keys != {""}


@pytest.mark.parametrize(("one", "other"), DIFFERENT_STREETS)
def test_different_streets_stay_apart(one, other):
    assert read_address(one).street_key != read_address(other).street_key


@pytest.mark.parametrize("spellings", SAME_UNIT, ids=lambda row: row[0])
def test_spellings_of_one_unit_meet(spellings):
    read = {(one.street_key, one.unit_key) for one in map(read_address, spellings)}

    assert len(read) == 1
    assert read.pop()[1]


@pytest.mark.parametrize(("one", "other"), DIFFERENT_UNITS)
def test_different_units_stay_apart(one, other):
    first, second = read_address(one), read_address(other)

    assert first.street_key == second.street_key
    assert first.unit_key != second.unit_key


@pytest.mark.parametrize(
    ("text", "unit"),
    [("12 Main St", "4"), ("12 Main St", "Apt. 4"), ("12 Main St #4", "Unit 4"), ("12 Main St", "#04")],
)
def test_a_unit_in_a_column_of_its_own_is_the_same_unit(text, unit):
    assert read_address(text, unit=unit).unit_key == "4"


@pytest.mark.parametrize(
    ("cell", "city", "zip_code"),
    [
        ("12 Main St #4, Millrace, OR 00418", "Millrace", "00418"),
        ("12 Main St #4, Millrace, OR, 00418-1234", "Millrace", "00418"),
        ("12 MAIN STREET APT 4 MILLRACE OR 00418", "MILLRACE", "00418"),
        ("12 Main St, Apt 4, Millrace OR 418", "Millrace", "00418"),
        ("12 Main St. Unit 4, Osprey Landing, Oregon 00421", "Osprey Landing", "00421"),
        ("12 Main St #4, Millrace", "Millrace", ""),
        ("12 Main St #4\nMillrace, OR 00418", "Millrace", "00418"),
        ("12 Main St #4, Millrace, OR 00418, USA", "Millrace", "00418"),
        ("12 Main St #4, 00418", "", "00418"),
        ("12 Main St #4 00418", "", "00418"),
    ],
)
def test_all_in_one_cell_comes_apart(cell, city, zip_code):
    read = read_address(cell)

    assert (read.street_key, read.unit_key) == ("12 MAIN ST", "4")
    assert (read.city_name, read.zip_code) == (city, zip_code)


def test_ct_is_a_court_and_ne_a_direction_unless_a_state_is_meant():
    assert read_address("12 Kestrel Ct 00421").street_key == "12 KESTREL CT"
    assert read_address("12 Kestrel Ave NE 00421").street_key == "12 KESTREL AVE NE"
    assert read_address("12 Kestrel Ave, Millrace, CT 00421").street_key == "12 KESTREL AVE"


def test_a_city_that_also_has_a_column_is_not_part_of_the_street():
    read = read_address("12 Main St Millrace", city="Millrace", zip_code=418)

    assert read.street_key == "12 MAIN ST"
    assert read.address_key == "12 MAIN ST 00418"


@pytest.mark.parametrize("zip_code", ["00417", 417, 417.0, "417", "417.0", " 00417-0123", "004170123"])
def test_zips_get_their_zero_back(zip_code):
    assert read_address("12 Main St", zip_code=zip_code).zip_code == "00417"


@pytest.mark.parametrize("zip_code", [None, "", "n/a", 4, "12", "1234567890", "0O417"])
def test_what_is_no_zip_is_left_out(zip_code):
    assert read_address("12 Main St", zip_code=zip_code).zip_code == ""


def test_without_a_zip_the_city_stands_in_the_key_and_without_either_a_question_mark():
    assert read_address("12 Main St", city="Saint Alder").address_key == "12 MAIN ST ST ALDER"
    assert read_address("12 Main St").address_key == "12 MAIN ST ?"


@pytest.mark.parametrize(
    "text", ["PO Box 12", "P.O. Box 12", "P. O. BOX 12, Millrace", "POB 12", "Post Office Box 9"]
)
def test_a_post_office_box_has_no_household_of_its_own(text):
    assert "post office box is not a dwelling" in read_address(text).problem


def test_a_box_beside_a_street_is_left_out():
    read = read_address("12 Main St, PO Box 5, Millrace")

    assert (read.street_key, read.problem, read.city_name) == ("12 MAIN ST", "", "Millrace")


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "No street address"),
        (None, "No street address"),
        ("Main St", "no house number"),
        ("the blue house", "no house number"),
        ("417", "no street name"),
        ("Main St & 3rd Ave", "no house number"),
        ("n/a", "no house number"),
    ],
)
def test_what_cannot_be_an_address_says_why_and_keeps_the_text(text, part):
    read = read_address(text)

    assert part in read.problem
    assert read.street == (text or "")
    assert read.street_key == ""


def test_a_rural_route_is_an_address():
    assert read_address("RR 2 Box 18").problem == ""


def test_what_is_shown_is_in_ordinary_letters():
    read = read_address("1006  ELMCROFT STREET, APT. 4", city="Brackenford")

    assert (read.street, read.unit) == ("1006 Elmcroft St", "Apt 4")
    assert read_address("12 McKay LN").street == "12 McKay Ln"


def test_a_dotted_direction_does_not_grow_into_an_irish_name():
    assert read_address("1 N. O'Dell St").street_key == read_address("1 N O'Dell St").street_key
    assert read_address("1 N.E. Alder St").street_key == read_address("1 NE Alder St").street_key


numbers = st.integers(1, 29999).map(str)
names = st.sampled_from(
    ["Alder", "Rookery", "Mill Creek", "St Clair", "Park", "O'Dell", "North", "Kestrel", "2nd", "Old Quarry"]
)
SUFFIXES = "St Street Ave Avenue Rd Lane Court Blvd Terrace Way Place Circle"
suffixes = st.sampled_from(SUFFIXES.split())
directions = st.sampled_from(["", "N ", "South ", "NE ", "Northwest "])
units = st.sampled_from(["", " #4", " Apt 12B", ", Unit 7", " Fl 2", " Bldg C Apt 4", " Rear"])
tails = st.sampled_from(["", ", Millrace", ", Millrace, OR 00418", ", Osprey Landing, OR"])
addresses = st.builds("{} {}{} {}{}{}".format, numbers, directions, names, suffixes, units, tails)


@given(addresses)
def test_reading_what_was_read_changes_nothing(text):
    once = read_address(text)
    twice = read_address(once.street, unit=once.unit, city=once.city_name, zip_code=once.zip_code)

    assert once.problem == ""
    assert twice == once


@given(addresses, st.randoms(use_true_random=False))
def test_case_blanks_and_dots_do_not_matter(text, chance):
    words = [chance.choice([word.upper(), word.lower(), word]) for word in text.split(" ")]
    dotted = [f"{word}." if word.isalpha() and chance.random() < 0.3 else word for word in words]
    untidy = "  " + "".join(f"{word}{' ' * chance.randint(1, 3)}" for word in dotted)

    one, other = read_address(text), read_address(untidy)

    assert (one.street_key, one.unit_key, one.zip_code) == (other.street_key, other.unit_key, other.zip_code)


@settings(max_examples=300)
@given(st.text(max_size=60))
def test_nothing_that_people_write_breaks_it(text):
    read = read_address(text, unit=text[:10], city=text[:20], zip_code=text[:9])

    assert bool(read.problem) == (read.street_key == "")
    assert len(read.street_key) <= 200


@given(numbers, names, suffixes, st.sampled_from(["", "Apt 12", "Unit 7"]))
def test_house_number_and_unit_agree_with_a_trained_parser(number, name, suffix, unit):
    text = f"{number} {name} {suffix} {unit}".strip()
    tagged, _kind = usaddress.tag(text)

    read = read_address(text)

    assert read.street_key.split()[0] == tagged["AddressNumber"]
    assert read.unit_key == tagged.get("OccupancyIdentifier", "")


def test_five_thousand_addresses_take_well_under_two_seconds():
    rows = [f"{number} Rookery Court Apt {number % 30}, Millrace, OR 00418" for number in range(5000)]
    began = time.process_time()

    for row in rows:
        read_address(row)

    assert time.process_time() - began < 2
