"""Dates as the programme writes them: 9 May 2026, 10:30 am."""

DATE_FORMAT = "j F Y"
SHORT_DATE_FORMAT = "j M Y"
TIME_FORMAT = "g:i a"
DATETIME_FORMAT = "j F Y, g:i a"
