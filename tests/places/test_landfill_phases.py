"""A landfill's own table of gas collection, as lines and as rows."""

import pytest
from django.core.exceptions import ValidationError

from outreach.places.landfill_phases import in_lines, read_phases

ROWS = [[0, 2, 0], [2, 5, 0.5], [5, None, 0.75]]


@pytest.mark.parametrize(
    "text",
    [
        "0 to 2: 0 %\n2 to 5: 50 %\n5 on: 75 %",
        "0-2 0\n2-5 50\n5+ 75",
        "years 0 to 2: 0\n\n2 to 5 = 50%\n5 and later: 75 %",
    ],
)
def test_lines_are_read_as_people_write_them(text):
    assert read_phases(text) == ROWS


def test_rows_are_written_as_they_are_read():
    assert read_phases(in_lines(ROWS)) == ROWS


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Give the table, from year 0 on."),
        ("1 on: 50 %", "Line 1: the first line begins with year 0."),
        ("0 to 2: 0 %\n3 on: 50 %", "Line 2: it has to begin in the year in which line 1 ends."),
        ("0 to 2: 0 %\n2 to 5: 50 %", "Line 2: the last line goes 'on' without end."),
        ("0 on: 150 %", "Line 1: a share is from 0 to 100 %."),
        ("0 to 0: 5 %\n0 on: 5 %", "Line 1: it ends before it begins."),
        ("half of it", "Line 1: write it like"),
    ],
)
def test_what_cannot_stand_is_named_by_its_line(text, sentence):
    with pytest.raises(ValidationError) as told:
        read_phases(text)

    assert any(sentence in message for message in told.value.messages)
