"""Writing a new version of the waiver. What people accepted before names the version they read."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.staff.models import StaffMember
from outreach.workshops.models import WaiverText


@transaction.atomic
def write_version(*, bodies: Mapping[str, str], by: StaffMember, at: datetime) -> int:
    """Write the text in every language at once; the same words again are the version that is there."""
    current = WaiverText.objects.current()
    if current and all(current[code].body == body for code, body in bodies.items() if code in current):
        return next(iter(current.values())).version
    if not all(body.strip() for body in bodies.values()):
        raise ValidationError(_("Write the text of the waiver in every language."))
    version = 1 + max((text.version for text in current.values()), default=0)
    for language, body in bodies.items():
        text = WaiverText(version=version, language=language, body=body.strip(), entered_at=at)
        text.full_clean()
        text.save()
    return version
