"""Who speaks to the Door's addresses: a device by its token, or one that brings a pass."""

from django.utils.translation import gettext_lazy as _
from rest_framework.authentication import BaseAuthentication, get_authorization_header
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.permissions import BasePermission
from rest_framework.request import Request
from rest_framework.views import APIView

from outreach.door import letting_in
from outreach.door.models import Device


class DeviceToken(BaseAuthentication):
    """`Authorization: Bearer <token>`. No cookie is read, so no page elsewhere can use a session."""

    def authenticate(self, request: Request) -> tuple[Device, str] | None:
        scheme, _blank, token = get_authorization_header(request).decode("latin-1").partition(" ")
        if scheme.lower() != "bearer" or not token.strip():
            return None
        device = letting_in.device_with(token.strip())
        if device is None:
            raise AuthenticationFailed(_("This token is not known. Let the device in again with a pass."))
        return device, token

    def authenticate_header(self, request: Request) -> str:
        return "Bearer"


class IsDevice(BasePermission):
    """A device that was let in, also one whose pass has ended: it may still deliver."""

    message = _("Only a device that was let in to the Door may use this.")

    def has_permission(self, request: Request, view: APIView) -> bool:
        return isinstance(request.user, Device)


class BringsAPass(BasePermission):
    """Whoever sends a pass code; whether it is good is looked at when the device is let in."""

    message = _("Send the code of a door pass.")

    def has_permission(self, request: Request, view: APIView) -> bool:
        return request.method == "POST"
