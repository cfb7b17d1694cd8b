"""Codes of rows, against the standard they follow."""

import pytest

from outreach.workshops import row_codes
from outreach.workshops.row_codes import Line


@pytest.mark.parametrize(("digits", "check"), [("0794", 5), ("79462", 3)])
def test_the_check_digit_is_that_of_the_standard(digits, check):
    """ISO/IEC 7064:2003 MOD 11,10: its worked example 0794 -> 5, and 79462 -> 3; both from memory."""
    assert row_codes.check_digit(digits) == check


@pytest.mark.parametrize("number", [1, 9, 10, 412, 9999, 10_000, 1_234_567])
def test_a_code_reads_back_however_it_is_typed(number):
    code = row_codes.code_of(number)
    for typed in (code, code.replace("-", ""), code.replace("-", " "), f" {code} "):
        assert row_codes.number_in(typed) == number


def test_every_single_wrong_digit_is_noticed():
    right = row_codes.code_of(412).replace("-", "")
    for place in range(len(right)):
        for digit in "0123456789":
            wrong = right[:place] + digit + right[place + 1 :]
            if wrong != right:
                with pytest.raises(row_codes.Misread, match="not a code of a sheet"):
                    row_codes.number_in(wrong)


@pytest.mark.parametrize("line", [Line(1, 1), Line(12, 7), Line(412, 11), Line(9_999, 99)])
def test_the_code_of_a_blank_line_reads_back_however_it_is_typed(line):
    code = row_codes.line_code(line)
    for typed in (code, code.replace("-", ""), code.replace("-", " ").lower(), f" {code} "):
        assert row_codes.read(typed) == line


def test_every_wrong_digit_of_a_blank_line_is_noticed_and_so_is_a_missing_w():
    right = row_codes.line_code(Line(412, 7)).replace("-", "")
    for place in range(1, len(right)):
        for digit in set("0123456789") - {right[place]}:
            with pytest.raises(row_codes.Misread):
                row_codes.read(right[:place] + digit + right[place + 1 :])
    with pytest.raises(row_codes.Misread):
        row_codes.read(right.removeprefix("W"))


@pytest.mark.parametrize("text", ["", "12", "four", "0412-", "0412-77x"])
def test_what_is_no_code_is_refused(text):
    with pytest.raises(row_codes.Misread):
        row_codes.number_in(text)
