"""What a device needs of a workshop to work without network: the least personal data that does."""

from collections import defaultdict
from collections.abc import Sequence
from datetime import date
from typing import Any

from django.conf import settings
from django.utils import translation
from django.utils.formats import date_format

from outreach.bins import eligibility
from outreach.bins.models import Handout, Promise
from outreach.door import live
from outreach.door.models import Copay, Device, EventOutcome
from outreach.households import consent, consent_words
from outreach.households.models import Household
from outreach.places.models import ServedPlace
from outreach.workshops import row_codes
from outreach.workshops.models import Registration, WaiverAcceptance, WaiverText, Workshop

LANGUAGES = [code for code, _name in settings.LANGUAGES]


def of(device: Device) -> dict[str, Any]:
    """The roster as a device is given it, without the clock of the server and without the live counts."""
    workshop = Workshop.objects.with_names().get(pk=device.workshop_id)
    listed = Registration.objects.at(workshop).on_the_list()
    registrations = list(
        listed.select_related("participant", "household__jurisdiction", "counted_under", "booking")
    )
    return {
        "workshop": _workshop(workshop),
        "waiver": _waiver(),
        "consent": {"version": consent_words.CURRENT, "text": consent_words.FOLLOW_UP[consent_words.CURRENT]},
        "models": _models(workshop),
        "people": _people(device, workshop, registrations),
        "households": _households(workshop, registrations),
        "places_served": _places_served(),
        "copays": list(Copay.How.values),
    }


def _workshop(workshop: Workshop) -> dict[str, Any]:
    return {
        "id": workshop.pk,
        "name": str(workshop),
        "venue": workshop.venue.name,
        "held_on": workshop.held_on.isoformat(),
        "starts": workshop.starts_at.isoformat() if workshop.starts_at else None,
        "ends": workshop.ends_at.isoformat() if workshop.ends_at else None,
        "kind": workshop.kind,
        "languages": LANGUAGES,
    }


def _waiver() -> dict[str, Any] | None:
    texts = WaiverText.objects.current()
    if not texts:
        return None
    version = next(iter(texts.values())).version
    return {"version": version, "text": {code: text.body for code, text in texts.items()}}


def _models(workshop: Workshop) -> list[dict[str, Any]]:
    return [
        {
            "id": shelf.bin_model.pk,
            "name": shelf.bin_model.name,
            "family": shelf.bin_model.family,
            "litres": shelf.bin_model.litres,
            "copay_cents": shelf.bin_model.copay_cents,
            "left": shelf.left,
        }
        for shelf in live.shelves(workshop)
    ]


def _people(
    device: Device, workshop: Workshop, registrations: Sequence[Registration]
) -> list[dict[str, Any]]:
    accepted = dict(WaiverAcceptance.objects.at(workshop).values_list("participant", "accepted_at"))
    said = consent.latest_of([one.counted_under for one in registrations], consent.Purpose.FOLLOW_UP)
    promised = set(Promise.objects.at(workshop).kept().values_list("counted_under", flat=True))
    walked_in = _walk_ins(device, workshop)
    return [
        {
            "registration": one.pk,
            "participant": one.participant_id,
            "person": walked_in.get(one.participant_id),
            "household": one.counted_under_id,
            "name": one.participant.full_name,
            "address": one.household.street,
            "unit": one.household.unit,
            "place": one.state,
            "party": one.people,
            "waiver": accepted[one.participant_id].isoformat() if one.participant_id in accepted else None,
            "may_ask": said.get(one.counted_under_id),
            "language": one.participant.language or (one.booking.language if one.booking else ""),
            "code": row_codes.code_of(one.pk),
            "promised": one.counted_under_id in promised,
        }
        for one in registrations
    ]


def _walk_ins(device: Device, workshop: Workshop) -> dict[int, str]:
    """By person, the number that a device gave a walk-in: this device's own where it has taken them down."""
    outcomes = EventOutcome.objects.at(workshop).of_kinds("walked_in").read().in_order()
    rows = list(outcomes.values_list("participant", "event__person", "event__device"))
    own_last = sorted(rows, key=lambda row: row[2] == device.pk)
    return {participant: str(person) for participant, person, _device in own_last if person}


def _households(workshop: Workshop, registrations: Sequence[Registration]) -> list[dict[str, Any]]:
    homes = {one.counted_under_id: one.counted_under for one in registrations}
    standings = {code: _standings(list(homes.values()), workshop.held_on, code) for code in LANGUAGES}
    bins: dict[int, list[Handout]] = defaultdict(list)
    for handout in Handout.objects.standing().counted_for_any(list(homes)).select_related("bin_model"):
        bins[handout.counted_under_id].append(handout)
    return [
        {
            "id": pk,
            "address": home.street,
            "unit": home.unit,
            "served": home.jurisdiction_id is not None,
            "standing": {
                "may": standings[LANGUAGES[0]][pk].may_have_bin,
                "kind": standings[LANGUAGES[0]][pk].exception_kind,
                "sentence": {code: standings[code][pk].sentence for code in LANGUAGES},
            },
            "bins": [f"{one.bin_model}, {date_format(one.handed_on, 'j F Y')}" for one in reversed(bins[pk])],
        }
        for pk, home in homes.items()
    ]


def _standings(homes: Sequence[Household], on: date, language: str) -> dict[int, eligibility.Standing]:
    with translation.override(language):
        return eligibility.standings_of(homes, on)


def _places_served() -> dict[str, list[str]]:
    rows = ServedPlace.objects.values_list("zip_code", "city_name")
    return {
        "zips": sorted({zip_code for zip_code, _city in rows if zip_code}),
        "cities": sorted({city for _zip, city in rows if city}),
    }
