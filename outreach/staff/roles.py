"""Who may do what: five roles, and the one way in which a view says whom it admits."""

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Any

from django.core.exceptions import PermissionDenied
from django.db import models
from django.http import HttpRequest, HttpResponseBase
from django.urls import resolve
from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from outreach.staff.models import StaffMember


class Role(models.TextChoices):
    ADMINISTRATOR = "administrator", _("administrator")
    COORDINATOR = "coordinator", _("coordinator")
    DOOR_CREW = "door_crew", _("door crew")
    CITY_ANALYST = "city_analyst", _("city analyst")
    AUDITOR = "auditor", _("auditor")


EVERYONE = tuple(Role)
ADMINISTRATORS = (Role.ADMINISTRATOR,)
OFFICE = (Role.ADMINISTRATOR, Role.COORDINATOR)
# People who see residents' names and how to reach them.
WITH_CONTACT_DATA = (*OFFICE, Role.DOOR_CREW)
# People who read figures, working and rows without contact data.
READERS = (*OFFICE, Role.CITY_ANALYST, Role.AUDITOR)
# People who see on the page of a record who changed it, with the reasons as they were written; the
# trail of everything is for those who are answerable for it.
TRAIL_READERS = (*OFFICE, Role.AUDITOR)
WHOLE_TRAIL_READERS = (Role.ADMINISTRATOR, Role.AUDITOR)

View = Callable[..., HttpResponseBase]


class StaffRequest(HttpRequest):
    """What views that `may` admits someone to are given: a request of someone who signed in."""

    user: "StaffMember"


def may(*roles: Role) -> Callable[[View], View]:
    """Admit these roles to a view; others get 403. The view carries `allowed_roles` for tests to read."""

    def admit(view: View) -> View:
        @wraps(view)
        def guarded(request: StaffRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if request.user.role not in roles:
                raise PermissionDenied(_("Your role does not include this page. Ask an administrator."))
            return view(request, *args, **kwargs)

        guarded.allowed_roles = roles  # type: ignore[attr-defined]
        return guarded

    return admit


def admits(address: str, role: str | None) -> bool:
    """Whether the page at this address of ours, its query aside, lets this role in."""
    return role in getattr(resolve(address.partition("?")[0]).func, "allowed_roles", ())
