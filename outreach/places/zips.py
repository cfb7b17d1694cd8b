"""ZIP codes as written or as a spreadsheet mangled them → five digits, or nothing."""

import re

FIVE, NINE = 5, 9
FEWEST = 3  # 00501 is the lowest ZIP in use: a number of one or two digits is no ZIP


def read_zip(value: object) -> str:
    """417, 417.0, '00417' and '00417-1234' → '00417'; what cannot be a ZIP → ''."""
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    text = re.sub(r"\.0+$", "", str(value if value is not None else "").strip())
    head, dash, tail = re.sub(r"\s+", "", text).partition("-")
    if not head.isascii() or not head.isdigit() or (dash and not re.fullmatch(r"\d{0,4}", tail)):
        return ""
    if FEWEST <= len(head) <= FIVE:
        return head.zfill(FIVE)
    if FIVE < len(head) <= NINE and not dash:
        return head.zfill(NINE)[:FIVE]
    return ""
