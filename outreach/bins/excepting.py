"""Giving the reason for an exception that was flagged: from then on the ruling stands."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _

from outreach.bins.models import RuleException
from outreach.staff.models import StaffMember


@transaction.atomic
def give_reason(*, exception: RuleException, reason: str, by: StaffMember, at: datetime) -> RuleException:
    """Say why a bin outside the rule or the ledger was right; who said so is kept with it."""
    locked = RuleException.objects.select_for_update(of=("self",)).filter(pk=exception.pk).first()
    if locked is None:
        raise ValidationError(_("This exception is gone: the records bear the bin out by now."))
    if not reason.strip():
        raise ValidationError({"reason": _("Give the reason.")})
    locked.reason, locked.reasoned_at, locked.allowed_by = reason.strip(), at, by
    locked.full_clean()
    locked.save(update_fields=["reason", "reasoned_at", "allowed_by"])
    return locked
