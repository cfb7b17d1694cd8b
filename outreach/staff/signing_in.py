"""Signing in: only people who are active and whose access has not ended."""

from django.contrib.auth.backends import ModelBackend
from django.utils import timezone

from outreach.staff.models import StaffMember


class CurrentStaffBackend(ModelBackend):
    """Django's own check of name and password, for people whose access stands today."""

    def user_can_authenticate(self, user: object) -> bool:
        return (
            isinstance(user, StaffMember)
            and user.deactivated_at is None
            and (user.ends_on is None or user.ends_on >= timezone.localdate())
        )
