"""A row of a places list → one city and ZIP that a jurisdiction serves."""

from dataclasses import dataclass

from django.db.models import Model
from django.utils.translation import gettext as _

from outreach.intake.fields import Fields, NotRead, PassedOver
from outreach.intake.sheets import as_text
from outreach.places.zips import read_zip


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceServed:
    """One city name with the ZIPs the row gives for it."""

    jurisdiction: str
    city_name: str
    zip_codes: tuple[str, ...]
    doubts: tuple[str, ...] = ()
    # What the row has made already, where its places were written ahead of the rest of the file.
    made: tuple[Model, ...] = ()


def read_place(fields: Fields) -> PlaceServed | NotRead | PassedOver:
    """Understand one row; a cell may hold several ZIPs."""
    jurisdiction = fields.text("jurisdiction") or fields.text("city")
    city = fields.text("city") or jurisdiction
    value = fields.value("zip")
    if not jurisdiction and not as_text(value):
        return PassedOver()
    if not jurisdiction:
        return NotRead(problem=_("City: none is named. Give the city that this ZIP belongs to."))
    pieces = as_text(value).replace(";", ",").replace("/", ",").replace(" ", ",").split(",")
    codes = tuple(dict.fromkeys(filter(None, (read_zip(piece) for piece in pieces if piece))))
    if not codes or len(codes) < len([piece for piece in pieces if piece]):
        return NotRead(problem=_("ZIP: cannot be read. Give five digits, its leading zeros too."))
    return PlaceServed(jurisdiction=jurisdiction[:120], city_name=city[:120], zip_codes=codes)
