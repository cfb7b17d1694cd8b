"""What a page shows beyond what its view admits: whether the reader has one of some roles."""

from collections.abc import Collection

from django.http import HttpRequest

from outreach.staff.roles import Role


def is_one_of(request: HttpRequest, roles: Collection[Role]) -> bool:
    """Whoever is signed in has one of these roles."""
    return getattr(request.user, "role", None) in roles
