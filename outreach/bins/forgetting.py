"""What bins empty when people are forgotten; handouts, stays and the ledger go on counting."""

from outreach.households.forgetting_rows import Rows

HANDLERS = {
    "orders": Rows("bins.BinOrder", masks=["note"]),
    "stock movements": Rows(
        "bins.StockMovement",
        empties=["note"],
        of_people=["handout__participant"],
        of_homes=["handout__household", "handout__counted_under"],
    ),
    "rules": Rows("bins.RuleVersion", masks=["note"]),
    "exceptions": Rows("bins.RuleException", empties=["about", "reason"], of_homes=["household"]),
    "handouts": Rows(
        "bins.Handout",
        empties=["void_reason", "note", "picked_up_by"],
        of_people=["participant"],
        of_homes=["household", "counted_under"],
    ),
    "pauses": Rows("bins.Pause", empties=["note"], of_homes=["household", "counted_under"]),
}
