"""Who may read through the API: the same roles as on the pages."""

from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.views import APIView

from outreach.staff.roles import READERS


class IsReader(BasePermission):
    """People who read figures and working; door crews do not."""

    message = "Your role does not include this. Ask an administrator."

    def has_permission(self, request: Request, view: APIView) -> bool:
        return getattr(request.user, "role", None) in READERS
