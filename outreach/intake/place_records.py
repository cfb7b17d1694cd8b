"""Jurisdictions and places served that a places list names, found or recorded."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from django.utils.translation import gettext as _

from outreach.intake.places_lists import PlaceServed
from outreach.intake.preparing import PreparedRow
from outreach.intake.results import Batch, RowResult
from outreach.places.city_names import city_key
from outreach.places.models import Jurisdiction, LandfillProfile, ServedPlace
from outreach.staff.models import StaffMember

ASSUMED_LANDFILL = "Not set yet: 20 to 40 inches of rain, typical gas collection"


def write_places(batch: Batch) -> None:
    """Record jurisdictions and the cities and ZIPs they serve; what is on record stays."""
    stated = batch.stating(PlaceServed)
    if not stated:
        return
    jurisdictions = {city_key(one.name): one for one in Jurisdiction.objects.all()}
    served = {(one.zip_code, one.city_key): one for one in ServedPlace.objects.all()}
    for row, place in stated:
        for record in place.made:
            row.add(record)
        jurisdiction = _jurisdiction(row, place.jurisdiction, jurisdictions)
        for zip_code in place.zip_codes:
            key = (zip_code, city_key(place.city_name))
            if key not in served:
                served[key] = _serve(jurisdiction, place.city_name, zip_code)
                row.add(served[key])
            elif served[key].jurisdiction_id != jurisdiction.pk:
                row.doubt(_("City and ZIP: already served by another jurisdiction. Correct the places list."))
        row.known()


def write_ahead(
    prepared: Iterable[PreparedRow], *, by: StaffMember | None, at: datetime
) -> dict[tuple[str, int], RowResult]:
    """Write the places that rows of a file state before its other rows are read; what came of each row."""
    batch = Batch.of(prepared, by=by, at=at, source="")
    write_places(batch)
    return {(row.prepared.sheet, row.prepared.number): row for row in batch.rows}


def with_records(row: PreparedRow, written: Mapping[tuple[str, int], RowResult]) -> PreparedRow:
    """The row with what it made when it was written ahead, and what was doubtful about it."""
    result = written.get((row.sheet, row.number))
    if result is None or not isinstance(row.states, PlaceServed):
        return row
    states = replace(row.states, made=tuple(result.made), doubts=tuple(result.reasons))
    return replace(row, states=states)


def _jurisdiction(row: RowResult, name: str, known: dict[str, Jurisdiction]) -> Jurisdiction:
    key = city_key(name)
    if key not in known:
        profile = LandfillProfile.objects.get_or_create(
            name=ASSUMED_LANDFILL,
            defaults={
                "climate": LandfillProfile.Climate.BETWEEN,
                "collection": LandfillProfile.Collection.TYPICAL,
            },
        )[0]
        known[key] = Jurisdiction(name=name, landfill_profile=profile)
        known[key].full_clean()
        known[key].save()
        row.add(known[key])
        row.doubt(_("Jurisdiction: new, its landfill profile is assumed. Choose the right one in Set-up."))
    return known[key]


def _serve(jurisdiction: Jurisdiction, city_name: str, zip_code: str) -> ServedPlace:
    place = ServedPlace(
        jurisdiction=jurisdiction, city_name=city_name, city_key=city_key(city_name), zip_code=zip_code
    )
    place.full_clean()
    place.save()
    return place
