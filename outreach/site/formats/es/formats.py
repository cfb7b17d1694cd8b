"""Spanish as it is written in the United States: dates in words, a point before the decimals."""

DATE_FORMAT = r"j \d\e F \d\e Y"
SHORT_DATE_FORMAT = "j M Y"
YEAR_MONTH_FORMAT = r"F \d\e Y"
TIME_FORMAT = "g:i a"
DATETIME_FORMAT = r"j \d\e F \d\e Y, g:i a"
DECIMAL_SEPARATOR = "."
THOUSAND_SEPARATOR = ","
NUMBER_GROUPING = 3
