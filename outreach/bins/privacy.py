"""How the fields of bins, rules and handouts are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "bins.BinModel",
    open={
        "id",
        "name",
        "name_key",
        "family",
        "litres",
        "has_floor",
        "unit_cost_cents",
        "copay_cents",
        "confirmed_at",
        "confirmed_by",
    },
)
privacy.declare("bins.StockPlace", open={"id", "name", "kind"})
privacy.declare(
    "bins.BinOrder",
    personal={"note"},
    open={
        "id",
        "bin_model",
        "supplier",
        "reference",
        "quantity",
        "unit_price_cents",
        "ordered_on",
        "due_on",
        "cancelled_on",
    },
)
privacy.declare(
    "bins.StockCount",
    open={
        "id",
        "place",
        "bin_model",
        "counted_on",
        "found",
        "ledger_said",
        "movement",
        "entered_at",
        "entered_by",
    },
)
privacy.declare(
    "bins.StockMovement",
    personal={"note"},
    household={"handout"},
    open={
        "id",
        "event_id",
        "bin_model",
        "quantity",
        "from_place",
        "to_place",
        "why",
        "lot",
        "order",
        "moved_on",
        "entered_at",
        "entered_by",
    },
)
privacy.declare("bins.StockBalance", open={"id", "place", "bin_model", "on_hand", "excused"})
privacy.declare(
    "bins.RuleVersion",
    personal={"note"},
    open={
        "id",
        "jurisdiction",
        "in_force_from_on",
        "allowance",
        "slots",
        "window",
        "window_from_on",
        "served_places_only",
        "homes_with_ground_only",
        "return_frees_slot",
        "earlier_bins_count",
    },
)
privacy.declare(
    "bins.RuleException",
    personal={"about", "reason"},
    household={"id", "kind", "household", "flagged_at", "flagged_by", "reasoned_at", "allowed_by"},
)
privacy.declare(
    "bins.Handout",
    personal={"void_reason", "note", "picked_up_by"},
    household={
        "id",
        "event_id",
        "household",
        "counted_under",
        "participant",
        "workshop",
        "bin_model",
        "how",
        "lot",
        "handed_on",
        "happened_at",
        "is_subsidised",
        "copay_cents",
        "allowance",
        "window_from_on",
        "slot",
        "slots",
        "replaces",
        "exception",
        "stock_exception",
        "returned_on",
        "voided_at",
        "voided_by",
        "entered_at",
        "entered_by",
    },
)
privacy.declare(
    "bins.Stay",
    household={"id", "household", "counted_under", "family", "from_day", "until_day", "ended_because"},
)

privacy.declare(
    "bins.Promise",
    household={
        "id",
        "household",
        "counted_under",
        "workshop",
        "bin_model",
        "made_at",
        "kept_until",
        "state",
        "lapsed_at",
        "handout",
        "owed_from",
        "promised_for_on",
        "made_by",
    },
)
privacy.declare(
    "bins.CarriedBin",
    household={"id", "handout", "household", "counted_under", "moved_on", "entered_at", "entered_by"},
)

privacy.declare(
    "bins.Pause",
    personal={"note"},
    household={
        "id",
        "household",
        "counted_under",
        "from_on",
        "until_on",
        "known_from",
        "entered_at",
        "entered_by",
        "withdrawn_at",
        "withdrawn_by",
    },
)

for label in (
    "BinModel",
    "StockPlace",
    "BinOrder",
    "RuleVersion",
    "RuleException",
    "Handout",
    "CarriedBin",
    "Pause",
    "Promise",
):
    audit.keep(f"bins.{label}")
audit.leave(
    "bins.StockMovement", because="The ledger is its own trail: rows are only added, each with who and when."
)
audit.leave("bins.StockBalance", because="It follows from the ledger.")
audit.leave(
    "bins.Stay", because="It follows from handouts, returns, moves and pauses, and is made anew from them."
)
audit.leave("bins.StockCount", because="Counts are append-only and carry who entered them, and when.")
