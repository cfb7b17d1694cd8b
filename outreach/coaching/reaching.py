"""Whom an answer to a help request goes to, and in which language."""

from outreach.coaching.models import HelpRequest
from outreach.households.models import Participant
from outreach.post.posting import Addressee
from outreach.workshops.recipients import DEFAULT_LANGUAGE, postal_lines


def person_of(asked: HelpRequest) -> Participant | None:
    """Who asked; else the first of the household who can be reached; else the first."""
    if asked.participant is not None or asked.household is None:
        return asked.participant
    people = asked.household.counted_under.people
    return next((one for one in people if one.email or one.phone), people[0] if people else None)


def language_of(asked: HelpRequest) -> str:
    """What they were heard in, else what the record says, else English."""
    person = person_of(asked)
    told = (
        asked.language,
        person.language if person else "",
        asked.household.language if asked.household else "",
    )
    return next((one for one in told if one), DEFAULT_LANGUAGE)


def addressee_of(asked: HelpRequest) -> Addressee:
    """The way that they gave themselves comes first."""
    person = person_of(asked)
    home = asked.household
    written = tuple(filter(None, (part.strip() for part in asked.written_address.split(","))))
    return Addressee(
        name=person.full_name if person else asked.written_name,
        language=language_of(asked),
        email=asked.email or ("" if asked.phone else (person.email if person else "")),
        phone=asked.phone or (person.phone if person else ""),
        postal_lines=postal_lines(home) if home else written,
        number=person.pk if person else None,
    )
