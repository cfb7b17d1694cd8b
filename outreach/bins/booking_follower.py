"""What happens to promised bins when people sign up, give back, and a workshop starts or closes."""

from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from outreach.bins import promising
from outreach.bins.models import Handout, Promise
from outreach.bins.rule_book import RuleBook
from outreach.households.models import Household
from outreach.staff.models import StaffMember
from outreach.workshops.followers import Follower
from outreach.workshops.models import Booking, Registration, Workshop

# By when a bin that was missing at the workshop is owed, until someone sets a day. Common practice, no source.
OWED_WITHIN = timedelta(days=30)


class KeepBins(Follower):
    """Keep a bin with each booking that wants one, as far as the rule and the plan allow."""

    def seated(self, booking: Booking, at: datetime) -> None:
        wants = _wanting(booking.workshop, booking.counted_under)
        if wants is not None:
            promising.promise(household=wants.household, workshop=booking.workshop, at=at)
        else:
            _let_go(booking, at)

    def gave_back(self, booking: Booking, at: datetime) -> None:
        if _wanting(booking.workshop, booking.counted_under) is None:
            _let_go(booking, at)
            _keep_elsewhere(booking, at)

    def moved(self, workshop: Workshop, at: datetime) -> None:
        Promise.objects.at(workshop).kept().update(kept_until=workshop.starts_at)

    def called_off(self, workshop: Workshop, at: datetime) -> None:
        for kept in Promise.objects.at(workshop).kept():
            promising.lapse(promise=kept, at=at)

    def planned_again(self, workshop: Workshop, at: datetime) -> None:
        """The bins that were let go are kept again, in the order in which people signed up."""
        for booking in Booking.objects.at(workshop).booked().in_order().select_related("workshop"):
            self.seated(booking, at)

    def started(self, workshop: Workshop, at: datetime) -> None:
        promising.lapse_unclaimed(workshop=workshop, at=at)

    def closed(self, workshop: Workshop, by: StaffMember | None, at: datetime) -> None:
        """Whoever asked for a bin, came, and went home without it is owed one; the rest lapses."""
        came = set(Registration.objects.at(workshop).who_came().values_list("counted_under", flat=True))
        asked = Booking.objects.at(workshop).standing().wanting_a_bin()
        owed = came & set(asked.values_list("counted_under", flat=True))
        for kept in Promise.objects.at(workshop).kept().select_related("household"):
            if kept.counted_under_id in owed:
                promising.owe_what_was_kept(kept, due_on=timezone.localdate(at) + OWED_WITHIN)
            else:
                promising.lapse(promise=kept, at=at)

    def remark(self, household: Household, workshop: Workshop) -> str:
        """For the people on record of a household: when it had its bin."""
        had = Handout.objects.standing().counted_for(household).order_by("handed_on").first()
        if had is None:
            return ""
        words = _("Our records say that your household had its bin on %(day)s.")
        return words % {"day": date_format(had.handed_on, "j F Y")}


def _wanting(workshop: Workshop, household: Household) -> Booking | None:
    """The first booking of a household there that holds its places, wants a bin and may be promised one."""
    booked = Booking.objects.at(workshop).counted_for(household).booked().wanting_a_bin().in_order()
    rule = RuleBook.read().in_force(household.jurisdiction_id, workshop.held_on)
    for booking in booked.select_related("household"):
        if not (rule.homes_with_ground_only and booking.dwelling == Booking.Dwelling.APARTMENT):
            return booking
    return None


def _let_go(booking: Booking, at: datetime) -> None:
    for kept in Promise.objects.at(booking.workshop).kept().counted_for(booking.counted_under):
        promising.lapse(promise=kept, at=at)


def _keep_elsewhere(booking: Booking, at: datetime) -> None:
    """The household may be booked for another workshop, where its bin was not kept for this one's sake."""
    today = timezone.localdate(at)
    others = Booking.objects.counted_for(booking.counted_under).booked().wanting_a_bin().coming(today)
    for other in others.select_related("workshop").exclude(workshop=booking.workshop):
        if promising.promise(household=other.household, workshop=other.workshop, at=at) is not None:
            return
