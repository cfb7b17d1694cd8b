"""What the page of a household tells about workshops; no names, for analysts read it too."""

from collections.abc import Iterator

from django.urls import reverse
from django.utils.translation import gettext as _

from outreach.households.dossier import Entry
from outreach.households.models import Household
from outreach.workshops.models import Registration


def timeline(household: Household) -> Iterator[Entry]:
    """One line for each place at a workshop."""
    words = {
        "booked": _("Booked a workshop: %(venue)s"),
        "standby": _("On standby for a workshop: %(venue)s"),
        "cancelled": _("Gave a place at a workshop back: %(venue)s"),
        "attended": _("Came to a workshop: %(venue)s"),
        "missed": _("Missed a workshop: %(venue)s"),
        "walk_in": _("Walked in to a workshop: %(venue)s"),
    }
    for registration in Registration.objects.counted_for(household).with_people():
        workshop = registration.workshop
        yield Entry(
            on=workshop.held_on,
            words=words[registration.state] % {"venue": workshop.venue},
            url=reverse("workshop", args=[workshop.pk]),
            mark=registration.state,
        )
