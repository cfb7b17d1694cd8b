"""What the programme sets for its residents' advice."""

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured

LEAST, MOST = 0.25, 10


def browns_per_green() -> float:
    """Parts of browns to one of greens by volume, as this programme teaches it.

    Raises `ImproperlyConfigured` at start where LOAMBOOK_BROWNS_PER_GREEN is no such number.
    """
    try:
        parts = float(settings.BROWNS_PER_GREEN)
    except ValueError:
        parts = 0.0
    if not LEAST <= parts <= MOST:
        raise ImproperlyConfigured(
            f"LOAMBOOK_BROWNS_PER_GREEN is {settings.BROWNS_PER_GREEN!r}. "
            f"Write how many parts of browns to one of greens, from {LEAST} to {MOST}, such as 2."
        )
    return parts
