"""The JSON that a device sends."""

import json
from typing import Any

from django.utils.translation import gettext as _
from rest_framework.request import Request


class Malformed(Exception):
    """The whole request cannot be read, so nothing in it has a name that could be answered."""


def json_of(request: Request) -> dict[str, Any]:
    """The object that was sent. Numbers that JSON does not have are kept as words."""
    try:
        said = json.loads(request.body, parse_constant=str)
    except (ValueError, RecursionError) as problem:
        raise Malformed(_("This is no JSON. Nothing was stored; send it again.")) from problem
    if not isinstance(said, dict):
        raise Malformed(_("Send one JSON object."))
    return said
