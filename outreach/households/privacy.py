"""How the fields of households and people are classed. An address is personal: it leads to a door."""

from outreach.staff import audit, privacy

privacy.declare(
    "households.Household",
    personal={"street", "unit", "address_key", "street_key", "unit_key", "note"},
    household={
        "id",
        "city_name",
        "zip_code",
        "jurisdiction",
        "district",
        "language",
        "composting_before",
        "began_on",
        "ended_on",
        "bin_after_move",
        "merged_into",
    },
)
audit.keep("households.Household")

privacy.declare(
    "households.Participant",
    personal={"full_name", "name_key", "email", "phone", "phone_key", "note"},
    household={"id", "household", "language", "same_person_as", "first_seen_on"},
)
audit.keep("households.Participant")

privacy.declare(
    "households.HouseholdMerge",
    personal={"reason"},
    household={
        "id",
        "kept",
        "absorbed",
        "merged_at",
        "merged_by",
        "what_was_set",
        "undone_at",
        "undone_by",
    },
)
audit.keep("households.HouseholdMerge", except_for={"what_was_set"})

privacy.declare(
    "households.DuplicateRuling",
    household={"id", "kind", "left_id_number", "right_id_number", "ruled_at", "ruled_by"},
)
audit.keep("households.DuplicateRuling")

privacy.declare(
    "households.Consent",
    household={"id", "household", "purpose", "is_given", "how", "words_version", "said_at", "entered_by"},
)
audit.leave("households.Consent", because="It is append-only and says who entered it, and when.")

privacy.declare(
    "households.ForgettingHold",
    personal={"reason"},
    household={"id", "household", "until_on", "set_at", "set_by", "released_at", "released_by"},
)
audit.keep("households.ForgettingHold")

privacy.declare(
    "households.Forgotten",
    household={
        "id",
        "key",
        "people",
        "homes",
        "schedule",
        "destroyed",
        "forgotten_at",
        "forgotten_by",
        "is_repeated",
    },
)
audit.leave("households.Forgotten", because="It is append-only and says who did it, and when.")

privacy.declare(
    "households.RetentionSchedule",
    open={"id", "months_after_use", "months_in_use", "begun_for_all_on", "set_at", "set_by"},
)
audit.leave("households.RetentionSchedule", because="It is append-only and says who set it, and when.")

privacy.declare(
    "households.RetentionRun", open={"id", "ran_at", "forgotten", "held", "living_on", "of_no_household"}
)
audit.leave("households.RetentionRun", because="It is append-only and says when it was.")
