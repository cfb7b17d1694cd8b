"""Venues by name: spellings that differ in case, dots and blanks are one venue."""

import re
from typing import NamedTuple

from django.db import IntegrityError, transaction

from outreach.places.folding import fold
from outreach.places.models import Jurisdiction, Venue


class RecordedVenue(NamedTuple):
    """The venue, and whether it was new."""

    venue: Venue
    is_new: bool


def venue_key(name: object) -> str:
    """'Alder Creek Library, Room B' → 'ALDER CREEK LIBRARY ROOM B'."""
    plain = fold(str(name if name is not None else "")).upper().replace("'", "")
    return " ".join(re.sub(r"[^A-Z0-9]+", " ", plain).split())


def record_venue(*, name: str, jurisdiction: Jurisdiction, street: str = "") -> RecordedVenue:
    """Record a venue, or give the one of that name in the jurisdiction."""
    key = venue_key(name)
    try:
        with transaction.atomic():
            known = Venue.objects.called(jurisdiction, key).first()
            if known is not None:
                return RecordedVenue(known, False)
            venue = Venue(name=" ".join(name.split()), name_key=key, jurisdiction=jurisdiction, street=street)
            venue.full_clean()
            venue.save()
            return RecordedVenue(venue, True)
    except IntegrityError:
        # Another person recorded it between our look and our write.
        return RecordedVenue(Venue.objects.called(jurisdiction, key).get(), False)
