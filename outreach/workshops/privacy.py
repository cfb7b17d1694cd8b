"""How the fields of workshops and registrations are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "workshops.Workshop",
    personal={"note", "state_reason"},
    open={
        "is_public",
        "sign_up_closes_at",
        "confirm_by_on",
        "bring",
        "bring_es",
        "accessibility",
        "accessibility_es",
        "postponed_at",
        "postponed_from_on",
        "postponed_from_venue",
        "revision",
        "id",
        "kind",
        "state",
        "held_on",
        "starts_at_time",
        "ends_at_time",
        "venue",
        "jurisdiction",
        "language",
        "seats",
        "booked_people",
        "bins_planned",
        "headcount_unlisted",
        "month",
    },
)
privacy.declare(
    "workshops.Registration",
    personal={"waiver_initials", "note"},
    household={
        "id",
        "workshop",
        "participant",
        "household",
        "counted_under",
        "state",
        "standby_place",
        "registered_at",
        "arrived_at",
        "came_with",
        "sheet_line",
        "is_outside_area",
        "booking",
    },
)
privacy.declare(
    "workshops.Booking",
    personal={"typed_name", "email", "phone", "needs"},
    household={
        "id",
        "form_key",
        "workshop",
        "household",
        "counted_under",
        "lead",
        "is_outside_area",
        "reach_by",
        "language",
        "dwelling",
        "ground",
        "composting_before",
        "food_before",
        "yard_before",
        "wants_bin",
        "consents_to_follow_up",
        "heard",
        "flyer_mark",
        "state",
        "standby_place",
        "people_beyond",
        "made_at",
        "told_at",
        "confirmed_at",
        "cancelled_at",
        "cancelled_because",
        "joined_into",
    },
)
privacy.declare(
    "workshops.Offer",
    household={
        "id",
        "workshop",
        "booking",
        "registration",
        "places",
        "made_at",
        "told_at",
        "until_at",
        "outcome",
        "closed_at",
    },
)
privacy.declare("workshops.WaiverText", open={"id", "version", "language", "body", "entered_at"})
privacy.declare(
    "workshops.WaiverAcceptance",
    personal={"typed_name", "taken_by"},
    household={"id", "event_id", "workshop", "participant", "registration", "text", "accepted_at"},
)
# The key is a digest of a network address or a contact, kept for a day.
privacy.declare("workshops.SignUpTry", personal={"key"}, household={"id", "made_at"})

# How many are booked follows from registrations, whose own changes are kept.
audit.keep("workshops.Workshop", except_for={"booked_people"})
audit.keep("workshops.Registration")
audit.keep("workshops.Booking")
audit.keep("workshops.Offer")
audit.keep("workshops.WaiverAcceptance")
audit.leave("workshops.WaiverText", because="Texts are only added, each with its version and when.")
audit.leave("workshops.SignUpTry", because="It counts uses of a public form and is gone after a day.")
