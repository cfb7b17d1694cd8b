"""E-mail addresses as written on a sheet → one spelling, or nothing."""

from django.core.exceptions import ValidationError
from django.core.validators import validate_email


def read_email(text: object) -> str:
    """The address in lower case, or '' where it is none.

    Mail systems treat the local part without regard to case, and sheets are often in capitals, so the
    whole address is lowered: 'ADA@Example.ORG' and 'ada@example.org' reach one person.
    """
    candidate = str(text or "").strip().strip("<>;,.").removeprefix("mailto:").strip().lower()
    try:
        validate_email(candidate)
    except ValidationError:
        return ""
    return candidate
