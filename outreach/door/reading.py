"""The body of an event → a fact; older schemas are lifted to today's first. What cannot be read says why."""

import uuid
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.utils.translation import gettext as _

from outreach.door.envelopes import uuid_of
from outreach.door.models import Copay, DoorEvent

SCHEMA = 1
# From one schema to the next, by the schema a body has; they stay for as long as devices may hold old events.
# Each is given the kind and the body, and answers with the body as the next schema has it.
UPCASTERS: dict[int, Callable[[str, dict[str, Any]], dict[str, Any]]] = {}

LANGUAGES = {code for code, _name in settings.LANGUAGES}
MOST_IN_A_PARTY, MOST_IN_A_CROWD, MOST_CENTS = 100, 10_000, 1_000_000
NAME, STREET, UNIT, CITY, SHORT, LONG = 200, 200, 40, 120, 60, 300
MOST_WORDS = 1_000


class CannotRead(Exception):
    """The event waits for the office; the words say what is wrong with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Who:
    """Whom an event is about: someone of the roster, or a walk-in by the number the device gave them."""

    participant: int | None = None
    person: uuid.UUID | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrived:
    who: Who
    party: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkedIn:
    person: uuid.UUID
    name: str
    street: str
    unit: str
    city: str
    zip_code: str
    language: str
    party: int
    email: str
    phone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaiverAccepted:
    who: Who
    version: int
    language: str
    typed_name: str
    # Whether they may be asked later how it goes, and beside which version of our words; None where not asked.
    may_ask: bool | None = None
    consent_words: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class BinGiven:
    handout: uuid.UUID
    who: Who
    model: int
    lot: str
    how: str
    cents: int
    receipt: str
    why: str
    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Headcount:
    people: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone:
    event: uuid.UUID
    why: str


Fact = Arrived | WalkedIn | WaiverAccepted | BinGiven | Headcount | Undone


def read(event: DoorEvent, corrections: Mapping[str, str] | None = None) -> Fact:
    """What an event says.

    Raises
    ------
    CannotRead
        Unknown schema or kind, or a body in which something is missing or impossible.
    """
    if event.corrected_at is None:
        raise CannotRead(_("The event has no time that can be read."))
    if event.kind not in READERS:
        raise CannotRead(_("The server does not know this kind of event: '%(kind)s'.") % {"kind": event.kind})
    body = Body(_lifted(event) | dict(corrections or {}))
    return READERS[event.kind](body)


def _lifted(event: DoorEvent) -> dict[str, Any]:
    """The body as today's schema has it."""
    body, schema = dict(event.body), event.schema
    while schema != SCHEMA:
        if schema not in UPCASTERS:
            words = _(
                "It is written in schema %(schema)d, which this server does not read. Release it after an update."
            )
            raise CannotRead(words % {"schema": event.schema})
        body, schema = UPCASTERS[schema](event.kind, body), schema + 1
    return body


class Body:
    """A body whose values are checked as they are read; the first that is wrong says which it is."""

    def __init__(self, said: Mapping[str, Any]) -> None:
        self._said = said

    def words(self, name: str, most: int, *, needed: bool = False) -> str:
        value = self._said.get(name) or ""
        if not isinstance(value, str) or len(value.strip()) > most or (needed and not value.strip()):
            raise CannotRead(_("'%(name)s' is missing, too long or no text.") % {"name": name})
        return " ".join(value.split())

    def whole(self, name: str, low: int, high: int, *, default: int | None = None) -> int:
        value = self._said.get(name, default)
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            words = _("'%(name)s' must be a whole number from %(low)d to %(high)d.")
            raise CannotRead(words % {"name": name, "low": low, "high": high})
        return value

    def number(self, name: str) -> uuid.UUID:
        value = uuid_of(self._said.get(name))
        if value is None:
            raise CannotRead(_("'%(name)s' must be a UUID.") % {"name": name})
        return value

    def language(self, *, needed: bool = False) -> str:
        value = self.words("language", SHORT, needed=needed)
        return value if value in LANGUAGES or needed else ""

    def yes_or_no(self, name: str) -> bool | None:
        value = self._said.get(name)
        if value is None or isinstance(value, bool):
            return value
        raise CannotRead(_("'%(name)s' must be true or false.") % {"name": name})

    def part(self, name: str) -> "Body":
        value = self._said.get(name)
        if value is not None and not isinstance(value, dict):
            raise CannotRead(_("'%(name)s' cannot be read.") % {"name": name})
        return Body(value or {})

    def who(self) -> Who:
        participant = self._said.get("participant")
        if isinstance(participant, int) and not isinstance(participant, bool) and 0 < participant < 2**63:
            return Who(participant=participant)
        if participant is None and uuid_of(self._said.get("person")):
            return Who(person=self.number("person"))
        raise CannotRead(_("It does not say whom it is about."))


def _arrived(body: Body) -> Arrived:
    return Arrived(who=body.who(), party=body.whole("party", 1, MOST_IN_A_PARTY, default=1))


def _walked_in(body: Body) -> WalkedIn:
    return WalkedIn(
        person=body.number("person"),
        name=body.words("name", NAME, needed=True),
        street=body.words("street", STREET, needed=True),
        unit=body.words("unit", UNIT),
        city=body.words("city", CITY),
        zip_code=body.words("zip", SHORT),
        language=body.language(),
        party=body.whole("party", 1, MOST_IN_A_PARTY, default=1),
        email=body.words("email", NAME),
        phone=body.words("phone", SHORT),
    )


def _waiver_accepted(body: Body) -> WaiverAccepted:
    consent = body.part("consent")
    may_ask = consent.yes_or_no("given")
    return WaiverAccepted(
        who=body.who(),
        version=body.whole("version", 1, 2**31 - 1),
        language=body.language(needed=True),
        typed_name=body.words("typed_name", NAME, needed=True),
        may_ask=may_ask,
        consent_words=0 if may_ask is None else consent.whole("version", 1, MOST_WORDS),
    )


def _bin_given(body: Body) -> BinGiven:
    copay = body.part("copay")
    how = copay.words("how", SHORT)
    if how not in {"", "none", *Copay.How.values}:
        raise CannotRead(_("The co-pay was taken in a way that is not known: '%(how)s'.") % {"how": how})
    cents = copay.whole("cents", 0, MOST_CENTS, default=0)
    if cents and how not in (Copay.How.CASH, Copay.How.CHEQUE):
        raise CannotRead(_("A co-pay of some cents was taken in cash or by cheque; it does not say which."))
    return BinGiven(
        handout=body.number("handout"),
        who=body.who(),
        model=body.whole("model", 1, 2**63 - 1),
        lot=body.words("lot", SHORT),
        how="" if how == "none" else how,
        cents=cents,
        receipt=copay.words("receipt", SHORT),
        why=copay.words("why", LONG),
        reason=body.part("exception").words("reason", LONG),
    )


def _headcount(body: Body) -> Headcount:
    return Headcount(people=body.whole("people", 0, MOST_IN_A_CROWD))


def _undone(body: Body) -> Undone:
    return Undone(event=body.number("event"), why=body.words("why", LONG))


READERS: dict[str, Callable[[Body], Fact]] = {
    "arrived": _arrived,
    "walked_in": _walked_in,
    "waiver_accepted": _waiver_accepted,
    "bin_given": _bin_given,
    "headcount": _headcount,
    "undone": _undone,
}
