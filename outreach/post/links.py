"""Links in messages: signed, so that whoever has one may use it and nobody can make another up.

Each purpose has a salt of its own; a link made for one does not open another. What a link is good for,
and until when, is for the page behind it to say.
"""

from collections.abc import Mapping
from typing import Any

from django.conf import settings
from django.core import signing
from django.utils.translation import gettext as _

SALT = "outreach.post.links."


class LinkBroken(Exception):
    """The link was cut off or changed; the words are for the person who followed it."""

    def __init__(self) -> None:
        super().__init__(
            _(
                "This link is not complete. Copy the whole of it from the message, or ask the office for a new one."
            )
        )


def make(purpose: str, payload: Mapping[str, Any]) -> str:
    """A token for a URL that carries the payload. The payload can be read by whoever has it."""
    return signing.dumps(dict(payload), salt=SALT + purpose)


def read(purpose: str, token: str) -> dict[str, Any]:
    """What a token of this purpose carries.

    Raises
    ------
    LinkBroken
        If it was not made here, for this purpose, and left as it was.
    """
    try:
        payload: dict[str, Any] = signing.loads(token, salt=SALT + purpose)
    except signing.BadSignature as broken:
        raise LinkBroken from broken
    return payload


def public_url(path: str) -> str:
    """The address of a page of ours as it stands in messages: whole, under the name residents know."""
    return settings.PUBLIC_URL.rstrip("/") + path
