"""What answers, invitations, weigh-ins and site checks empty when people are forgotten; quantities stay."""

from outreach.households.forgetting_rows import Rows

HANDLERS = {
    "answers": Rows(
        "followup.Answer",
        empties=[
            "why_stopped",
            "food_as_written",
            "yard_as_written",
            "before_as_written",
            "problems",
            "harvested",
            "remarks",
            "review_reason",
        ],
        of_people=["participant"],
        of_homes=["household", "counted_under"],
    ),
    "invitations": Rows("followup.Invitation", empties=["said"], of_homes=["household", "counted_under"]),
    "weigh-ins": Rows("followup.WeighIn", empties=["note"], of_homes=["household", "counted_under"]),
    "weighed weeks": Rows(
        "followup.WeighedWeek",
        empties=["reported_as_written", "review_reason", "why_set_aside"],
        of_homes=["weigh_in__household", "weigh_in__counted_under"],
    ),
    "site checks": Rows(
        "followup.SiteCheck",
        empties=["note"],
        masks=["seen_by"],
        of_homes=["household", "counted_under"],
    ),
}
