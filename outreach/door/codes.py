"""Codes that people type and tokens that devices hold; the database keeps digests only."""

import hashlib
import secrets

from django.utils.crypto import salted_hmac

# Without letters and digits that are taken for one another.
ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"
LENGTH = 8
TOKEN_BYTES = 32


def new_code() -> str:
    """A code for a pass, as it is printed: 'K7PM-3XTD'."""
    drawn = "".join(secrets.choice(ALPHABET) for _ in range(LENGTH))
    return f"{drawn[: LENGTH // 2]}-{drawn[LENGTH // 2 :]}"


def code_digest(code: str) -> str:
    """The same for every way of typing it. Codes are short, so only this installation can make the digest."""
    typed = "".join(character for character in code.upper() if character.isalnum())
    return salted_hmac("outreach.door.pass", typed, algorithm="sha256").hexdigest()


def new_token() -> str:
    return secrets.token_urlsafe(TOKEN_BYTES)


def token_digest(token: str) -> str:
    """Tokens are long and random: a plain digest tells nothing of them."""
    return hashlib.sha256(token.encode()).hexdigest()
