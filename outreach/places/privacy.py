"""How the fields of places are classed: all of it is public knowledge."""

from outreach.staff import audit, privacy

privacy.declare(
    "places.LandfillProfile",
    open={"id", "name", "climate", "collection", "own_phases", "oxidation_percent"},
)
privacy.declare(
    "places.Jurisdiction",
    open={
        "id",
        "name",
        "landfill_profile",
        "landfilled_percent",
        "yard_trimmings_banned",
        "fiscal_year_starts_month",
        "report_due_days",
        "mass_unit",
    },
)
privacy.declare("places.ServedPlace", open={"id", "jurisdiction", "city_name", "city_key", "zip_code"})
privacy.declare("places.District", open={"id", "jurisdiction", "name", "from_on", "until_on"})
privacy.declare("places.Venue", open={"id", "name", "name_key", "street", "jurisdiction"})

for label in ("LandfillProfile", "Jurisdiction", "ServedPlace", "District", "Venue"):
    audit.keep(f"places.{label}")
