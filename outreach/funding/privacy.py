"""How the fields of funding sources are classed."""

from outreach.staff import audit, privacy

privacy.declare(
    "funding.FundingSource",
    personal={"note"},
    open={
        "id",
        "name",
        "funder",
        "grant_number",
        "starts_on",
        "ends_on",
        "amount_cents",
        "may_serve",
    },
)

audit.keep("funding.FundingSource")
