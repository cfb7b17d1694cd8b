"""A request for help from the public page: counted against misuse, then kept. It answers nobody who lives where."""

from datetime import datetime
from typing import Any

from django.utils.translation import get_language

from outreach.coaching import helping
from outreach.coaching.helping import Act, Asked
from outreach.coaching.models import HelpRequest
from outreach.places.models import Jurisdiction
from outreach.places.serving import PlacesList
from outreach.workshops import trying


def is_too_often(*, network_address: str, said: dict[str, Any], at: datetime) -> bool:
    """Whether this network address, or this way to reach someone, has used up its share for an hour."""
    return trying.is_too_often(
        network_address=network_address, contacts=(said["email"], said["phone"]), at=at
    )


def keep(*, said: dict[str, Any], at: datetime) -> HelpRequest:
    """Keep what a valid form said. No household is named: a person in the office looks whose it is."""
    place = PlacesList.load().resolve("", said["zip_code"])
    jurisdiction = Jurisdiction.objects.filter(pk=place.jurisdiction_id or 0).first()
    asked = Asked(
        came_by=HelpRequest.CameBy.PUBLIC_PAGE,
        symptoms=tuple(said["symptom"]),
        own_words=said["own_words"],
        language=(get_language() or "")[:2],
        written_name=said["written_name"],
        written_address=", ".join(filter(None, (said["street"], said["zip_code"]))),
        email=said["email"],
        phone=said["phone"],
        jurisdiction=jurisdiction,
    )
    return helping.open_request(asked=asked, act=Act(by=None, at=at))
