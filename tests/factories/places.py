"""Jurisdictions and what belongs to them, valid by default."""

import datetime
import itertools

from outreach.places.models import District, Jurisdiction, LandfillProfile, ServedPlace, Venue

_numbers = itertools.count(1)


def make_landfill_profile(**differences) -> LandfillProfile:
    fields = {"name": f"Landfill {next(_numbers)}", "climate": "between", "collection": "typical"}
    return LandfillProfile.objects.create(**fields | differences)


def make_jurisdiction(**differences) -> Jurisdiction:
    fields = {"name": f"Town {next(_numbers)}"}
    fields |= differences
    fields.setdefault("landfill_profile", None)
    fields["landfill_profile"] = fields["landfill_profile"] or make_landfill_profile()
    return Jurisdiction.objects.create(**fields)


def make_served_place(**differences) -> ServedPlace:
    number = next(_numbers)
    fields = {"city_name": f"Town {number}", "zip_code": f"{number:05d}"} | differences
    fields.setdefault("city_key", fields["city_name"].upper())
    fields["jurisdiction"] = fields.get("jurisdiction") or make_jurisdiction(name=fields["city_name"])
    return ServedPlace.objects.create(**fields)


def make_district(**differences) -> District:
    fields = {"name": f"District {next(_numbers)}", "from_on": datetime.date(2020, 1, 1)} | differences
    fields["jurisdiction"] = fields.get("jurisdiction") or make_jurisdiction()
    return District.objects.create(**fields)


def make_venue(**differences) -> Venue:
    fields = {"name": f"Hall {next(_numbers)}"} | differences
    fields.setdefault("name_key", fields["name"].upper())
    fields["jurisdiction"] = fields.get("jurisdiction") or make_jurisdiction()
    return Venue.objects.create(**fields)
