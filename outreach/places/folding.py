"""Text without its accents, so that 'Muñoz' and 'Munoz' meet."""

import unicodedata

# Letters that do not come apart into a plain one and an accent.
_LETTERS = str.maketrans(
    {"ß": "ss", "ø": "o", "Ø": "O", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D"}
    | {"æ": "ae", "Æ": "AE", "œ": "oe", "Œ": "OE"}
)


def fold(text: str) -> str:
    """'Zoë Muñoz' → 'Zoe Munoz', 'Åse' → 'Ase', 'Ｍ' → 'M'."""
    if text.isascii():
        return text
    apart = unicodedata.normalize("NFKD", text.translate(_LETTERS))
    return "".join(character for character in apart if not unicodedata.combining(character))
