"""How the fields of waves and answers are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "followup.Wave", open={"id", "months_after", "name", "is_open", "days_open", "reminders", "days_between"}
)
privacy.declare("followup.OwnContainer", open={"id", "name", "name_key", "other_words", "ml", "is_retired"})
# What residents wrote in their own words is personal; what was understood from it is not.
privacy.declare(
    "followup.Answer",
    personal={
        "why_stopped",
        "food_as_written",
        "yard_as_written",
        "before_as_written",
        "problems",
        "harvested",
        "remarks",
        "review_reason",
    },
    household={
        "id",
        "household",
        "counted_under",
        "participant",
        "wave",
        "channel",
        "answered_on",
        "reminders",
        "received_on",
        "entered_at",
        "entered_by",
        "composting",
        "stopped_on",
        "asked_per",
        "food_ml_per_week",
        "food_g_per_week",
        "yard_ml_per_week",
        "yard_g_per_week",
        "browns_ml_per_week",
        "food_trash_percent",
        "food_composted_percent",
        "yard_trash_percent",
        "yard_composted_percent",
        "wants_help",
        "reviewed_at",
        "reviewed_by",
        "is_current",
        "corrects",
        "in_force_from_day",
        "in_force_until_day",
        "summed_as",
        "summed_food",
        "summed_yard",
        "summed_browns",
    },
)

# What they chose in the form so far has their own words in it.
privacy.declare(
    "followup.Invitation",
    personal={"said"},
    household={
        "id",
        "household",
        "counted_under",
        "wave",
        "opened_on",
        "opened_at",
        "closes_on",
        "channel",
        "reminders_sent",
        "last_asked_at",
        "postcard_on",
        "settled_at",
        "settled_because",
        "answer",
    },
)

privacy.declare(
    "followup.FollowUpCall",
    household={"id", "household", "counted_under", "reply", "called_at", "called_by"},
)

privacy.declare(
    "followup.WeighInSeason",
    open={"id", "name", "from_on", "weeks", "seed", "drawn_from", "drawn_at", "drawn_by"},
)
privacy.declare(
    "followup.WeighIn",
    personal={"note"},
    household={
        "id",
        "season",
        "household",
        "counted_under",
        "draw_place",
        "reply",
        "replied_on",
        "scale_out_on",
        "scale_back_on",
    },
)
privacy.declare(
    "followup.WeighedWeek",
    personal={"reported_as_written", "review_reason", "why_set_aside"},
    household={
        "id",
        "weigh_in",
        "week",
        "material",
        "reported_ml",
        "weighed_g",
        "entered_at",
        "entered_by",
        "reviewed_at",
        "reviewed_by",
        "is_set_aside",
    },
)
privacy.declare(
    "followup.SiteCheckList",
    open={
        "id",
        "name",
        "jurisdiction",
        "size",
        "seed",
        "drawn_on",
        "drawn_from",
        "drawn_at",
        "drawn_by",
    },
)
# Who went there is a name: a volunteer's, or that of one of the crew.
privacy.declare(
    "followup.SiteCheck",
    personal={"note", "seen_by"},
    household={
        "id",
        "list",
        "place",
        "household",
        "counted_under",
        "outcome",
        "checked_on",
        "entered_at",
        "entered_by",
        "pause",
    },
)

audit.keep("followup.Wave")
audit.keep("followup.OwnContainer")
audit.keep("followup.Answer")
audit.keep("followup.WeighInSeason")
audit.keep("followup.WeighIn")
audit.keep("followup.WeighedWeek")
audit.keep("followup.SiteCheckList")
audit.keep("followup.SiteCheck")
audit.leave(
    "followup.Invitation",
    because="Nobody writes it by hand; it says itself when it was asked and why it ended.",
)
audit.leave("followup.FollowUpCall", because="A call is only added; the row says who called and when.")
