"""How the fields of workshops and registrations are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "workshops.Workshop",
    personal={"note", "state_reason"},
    open={
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
        "is_outside_area",
    },
)

# How many are booked follows from registrations, whose own changes are kept.
audit.keep("workshops.Workshop", except_for={"booked_people"})
audit.keep("workshops.Registration")
