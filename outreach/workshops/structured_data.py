"""A workshop as a schema.org Event, for programs that read the public page.

Source: schema.org, types Event and Place, as the words stand there (from memory).
"""

import json
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from outreach.workshops import sayings
from outreach.workshops.models import Workshop

STATUS = {True: "https://schema.org/EventCancelled", False: "https://schema.org/EventScheduled"}
# What would end the element, or begin another, is written as JSON may write it.
ESCAPED = {ord("<"): "\\u003C", ord(">"): "\\u003E", ord("&"): "\\u0026"}


def event_of(workshop: Workshop, url: str) -> dict[str, Any]:
    """The event by the names of the vocabulary; no people, and no coordinates."""
    is_cancelled = workshop.state == Workshop.State.CANCELLED
    event: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "Event",
        "name": sayings.title(workshop),
        "startDate": workshop.begins_at.isoformat() if workshop.starts_at else workshop.held_on.isoformat(),
        "eventStatus": _status(workshop, is_cancelled),
        "eventAttendanceMode": "https://schema.org/OfflineEventAttendanceMode",
        "inLanguage": workshop.language,
        "isAccessibleForFree": True,
        "maximumAttendeeCapacity": workshop.seats,
        "remainingAttendeeCapacity": 0 if is_cancelled else workshop.seats_left,
        "url": url,
        "location": {
            "@type": "Place",
            "name": workshop.venue.name,
            "address": ", ".join(filter(None, (workshop.venue.street, workshop.venue.jurisdiction.name))),
        },
    }
    if workshop.ends_at is not None:
        event["endDate"] = workshop.ends_at.isoformat()
    if workshop.postponed_from_on is not None:
        event["previousStartDate"] = workshop.postponed_from_on.isoformat()
    return event


def _status(workshop: Workshop, is_cancelled: bool) -> str:
    if not is_cancelled and workshop.postponed_from_on not in (None, workshop.held_on):
        return "https://schema.org/EventRescheduled"
    return STATUS[is_cancelled]


def as_element_text(event: dict[str, Any]) -> SafeString:
    """The JSON, safe to stand inside a script element."""
    return mark_safe(json.dumps(event, ensure_ascii=False).translate(ESCAPED))  # noqa: S308 - escaped above
