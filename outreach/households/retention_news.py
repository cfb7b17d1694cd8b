"""What Season says of retention: that nobody set it, that it was not done for long, that something is held."""

from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.households import months, retention
from outreach.households.models import Household
from outreach.households.retention_models import RetentionRun

DONE_AT_LEAST_EVERY = timedelta(days=31)
# Before that nothing can be over for long, so nobody is troubled with it in the first months of a programme.
KNOWN_FOR_MONTHS = 12


def held_past_their_date() -> int:
    """Households that the last run left because of a hold."""
    last = RetentionRun.objects.newest_first().first()
    return last.held if last else 0


def not_done(at: datetime) -> str:
    """One sentence where a person should do something about it; '' where all is well."""
    kept = retention.schedule()
    if kept is None:
        since = months.later(timezone.localdate(at), -KNOWN_FOR_MONTHS)
        if Household.objects.known_before(since).exists():
            return _("nobody has set how long contact data is kept")
        return ""
    last = RetentionRun.objects.newest_first().first()
    if last is not None and at - last.ran_at <= DONE_AT_LEAST_EVERY:
        return ""
    if last is None:
        # From the day on which it was set there is a month for doing it first.
        return (
            "" if at - kept.set_at <= DONE_AT_LEAST_EVERY else _("the retention dates were never looked at")
        )
    day = date_format(timezone.localdate(last.ran_at), "j F Y")
    return _("the retention dates were last looked at on %(day)s") % {"day": day}
