"""How the fields of funding are classed: money is open, people and free text are not."""

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
        "may_serve_districts",
        "match_required_cents",
        "clock",
        "fiscal_year_starts_month",
        "own_year_starts_on",
    },
)

privacy.declare("funding.GrantPeriod", open={"id", "source", "first_day_on", "last_day_on", "report_due_on"})
privacy.declare("funding.BudgetLine", open={"id", "source", "kind", "name", "amount_cents"})
privacy.declare(
    "funding.Cost",
    personal={"note", "void_reason"},
    open={
        "id",
        "spent_on",
        "amount_cents",
        # Read by auditors and grant officers; the form asks for no names.
        "what_for",
        "workshop",
        "paperwork",
        "voided_at",
        "voided_by",
        "entered_at",
        "entered_by",
    },
)
privacy.declare("funding.CostShare", open={"id", "cost", "budget_line", "cents"})
privacy.declare(
    "funding.HourRate",
    open={"id", "cents_per_hour", "in_force_from_on", "source", "looked_up_on", "entered_at", "entered_by"},
)
privacy.declare(
    "funding.Hours",
    personal={"volunteer", "note", "void_reason"},
    open={
        "id",
        "given_on",
        "minutes",
        "doing",
        "workshop",
        "rate",
        "paperwork",
        "voided_at",
        "voided_by",
        "entered_at",
        "entered_by",
    },
)
privacy.declare("funding.HoursShare", open={"id", "hours", "source", "minutes"})

for label in ("FundingSource", "GrantPeriod", "BudgetLine", "Cost", "CostShare", "Hours", "HoursShare"):
    audit.keep(f"funding.{label}")
audit.leave("funding.HourRate", because="Rates are append-only and carry who entered them, and when.")
