"""The tables of USPS Publication 28.

The pairs below are from memory of appendices B, C1 and C2. The whole suffix table was also compared by
eye with two public transcriptions of appendix C1; a few spellings that the appendix does not list
(CRT, HGTS, PK, TPK, TR) are common practice, no source.
"""

import pytest

from outreach.places.postal import DIRECTIONS, RANGED_UNITS, SUFFIX_IN_FULL, SUFFIXES, ordinal

APPENDIX_C1 = {
    "ALLEE": "ALY",
    "ANNEX": "ANX",
    "AVENU": "AVE",
    "BOULEVARD": "BLVD",
    "BYPASS": "BYP",
    "CAUSEWAY": "CSWY",
    "CENTRE": "CTR",
    "CIRCLE": "CIR",
    "COURT": "CT",
    "COURTS": "CTS",
    "CRESCENT": "CRES",
    "CROSSING": "XING",
    "DRIVE": "DR",
    "ESTATES": "ESTS",
    "EXPRESSWAY": "EXPY",
    "FREEWAY": "FWY",
    "HEIGHTS": "HTS",
    "HIGHWAY": "HWY",
    "HOLLOW": "HOLW",
    "JUNCTION": "JCT",
    "LANDING": "LNDG",
    "LANE": "LN",
    "LOOP": "LOOP",
    "MEADOWS": "MDWS",
    "MOUNTAIN": "MTN",
    "PARKWAY": "PKWY",
    "PLACE": "PL",
    "PLAZA": "PLZ",
    "POINT": "PT",
    "RIDGE": "RDG",
    "ROAD": "RD",
    "SQUARE": "SQ",
    "STREET": "ST",
    "TERRACE": "TER",
    "TRAIL": "TRL",
    "TURNPIKE": "TPKE",
    "VALLEY": "VLY",
    "VIEW": "VW",
    "VILLAGE": "VLG",
    "WAY": "WAY",
}
APPENDIX_C2 = {"APARTMENT": "APT", "BUILDING": "BLDG", "FLOOR": "FL", "ROOM": "RM", "SUITE": "STE"}


@pytest.mark.parametrize(("written", "standard"), APPENDIX_C1.items())
def test_suffixes_are_abbreviated_as_in_appendix_c1(written, standard):
    assert SUFFIXES[written] == standard


@pytest.mark.parametrize(("written", "standard"), APPENDIX_C2.items())
def test_units_are_abbreviated_as_in_appendix_c2(written, standard):
    assert RANGED_UNITS[written] == standard


def test_the_eight_directions_of_appendix_b_have_one_or_two_letters():
    assert set(DIRECTIONS.values()) == {"N", "S", "E", "W", "NE", "NW", "SE", "SW"}


def test_an_abbreviation_stands_for_itself_and_goes_back_to_its_name():
    for standard, name in SUFFIX_IN_FULL.items():
        assert SUFFIXES[standard] == standard
        assert SUFFIXES[name] == standard


@pytest.mark.parametrize(
    ("number", "written"),
    [(1, "1ST"), (2, "2ND"), (3, "3RD"), (11, "11TH"), (13, "13TH"), (21, "21ST"), (112, "112TH")],
)
def test_ordinals(number, written):
    assert ordinal(number) == written
