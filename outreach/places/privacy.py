"""How the fields of places are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

# Places, landfills and public venues are published facts.
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
        "mass_unit",
    },
)
privacy.declare("places.ServedPlace", open={"id", "jurisdiction", "city_name", "city_key", "zip_code"})
privacy.declare("places.District", open={"id", "jurisdiction", "name", "from_on", "until_on"})
# A venue may be somebody's garden, so its street is masked.
privacy.declare("places.Venue", personal={"street"}, open={"id", "name", "name_key", "jurisdiction"})

for label in ("LandfillProfile", "Jurisdiction", "ServedPlace", "District", "Venue"):
    audit.keep(f"places.{label}")
