"""City names as written → a key under which their spellings meet."""

import re

from outreach.places.folding import fold

_WORDS = {"SAINT": "ST", "SAINTE": "STE", "MOUNT": "MT", "FORT": "FT"}
_STATES = (
    "AL AK AZ AR CA CO CT DE DC FL GA HI ID IL IN IA KS KY LA ME MD MA MI MN MS MO MT NE NV NH NJ NM NY "
    "NC ND OH OK OR PA PR RI SC SD TN TX UT VT VA VI WA WV WI WY"
)
_STATE_NAMES = (
    "ALABAMA|ALASKA|ARIZONA|ARKANSAS|CALIFORNIA|COLORADO|CONNECTICUT|DELAWARE|FLORIDA|GEORGIA|HAWAII|IDAHO|"
    "ILLINOIS|INDIANA|IOWA|KANSAS|KENTUCKY|LOUISIANA|MAINE|MARYLAND|MASSACHUSETTS|MICHIGAN|MINNESOTA|"
    "MISSISSIPPI|MISSOURI|MONTANA|NEBRASKA|NEVADA|NEW HAMPSHIRE|NEW JERSEY|NEW MEXICO|NEW YORK|"
    "NORTH CAROLINA|NORTH DAKOTA|OHIO|OKLAHOMA|OREGON|PENNSYLVANIA|PUERTO RICO|RHODE ISLAND|SOUTH CAROLINA|"
    "SOUTH DAKOTA|TENNESSEE|TEXAS|UTAH|VERMONT|VIRGINIA|WASHINGTON|WEST VIRGINIA|WISCONSIN|WYOMING"
)
STATES = frozenset(_STATES.split())
STATE_NAMES = frozenset(_STATE_NAMES.split("|"))


def city_key(text: object) -> str:
    """'St. Alder', 'SAINT ALDER' and 'Saint Alder, OR' → 'ST ALDER'."""
    name = without_state(str(text if text is not None else ""))
    words = re.sub(r"[^A-Z0-9]+", " ", fold(name).upper().replace("'", "")).split()
    return " ".join(_WORDS.get(word, word) for word in words)


def without_state(name: str) -> str:
    """'Millrace, OR' → 'Millrace'."""
    head, comma, tail = name.strip().rpartition(",")
    return head.strip() if comma and tail.strip(" .").upper() in STATES else name.strip()
