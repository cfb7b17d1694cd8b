"""How the fields of the Door are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare("door.DoorTable", open={"id", "workshop", "place", "counted_unlisted"})
audit.keep("door.DoorTable", except_for={"counted_unlisted"})
privacy.declare(
    "door.DoorPass",
    personal={"code_digest"},
    open={"id", "workshop", "may_except", "made_at", "made_by", "revoked_at", "revoked_by"},
)
audit.keep("door.DoorPass")
privacy.declare(
    "door.Device",
    personal={"token_digest", "by_name", "label"},
    household={"uuid"},
    open={
        "id",
        "workshop",
        "door_pass",
        "staff_member",
        "may_except",
        "opened_at",
        "expires_at",
        "revoked_at",
        "revoked_by",
        "ended_at",
        "last_seen_at",
        "last_offset_ms",
        "unsent",
    },
)
audit.keep("door.Device", except_for={"token_digest", "last_seen_at", "last_offset_ms", "unsent"})
privacy.declare(
    "door.DoorEvent",
    personal={"body", "by_name"},
    household={
        "id",
        "device",
        "seq",
        "schema",
        "kind",
        "workshop_number",
        "happened_at",
        "offset_ms",
        "corrected_at",
        "person",
        "undoes",
        "received_at",
    },
)
audit.leave("door.DoorEvent", because="An event is what a device sent, kept as it is and never changed.")
privacy.declare(
    "door.EventOutcome",
    personal={"words", "reason", "corrections"},
    household={
        "event",
        "state",
        "participant",
        "registration",
        "handout",
        "beyond",
        "made_household",
        "made_person",
        "filled",
        "before",
        "noted_at",
        "ruled_at",
        "ruled_by",
    },
)
audit.leave(
    "door.EventOutcome",
    because="It follows from the events; who released or set aside is written in it, what it changed has "
    "entries of its own.",
)
privacy.declare("door.Copay", personal={"receipt", "why"}, household={"event", "how", "cents"})
audit.leave("door.Copay", because="It is read out of an event that never changes.")
privacy.declare(
    "door.Closing",
    personal={"difference_explained", "devices_reason", "materials"},
    open={
        "id",
        "workshop",
        "closed_at",
        "closed_by",
        "people_came",
        "people_missed",
        "people_unlisted",
        "cash_noted_cents",
        "cash_found_cents",
        "cheques_noted_cents",
        "cheques_found_cents",
        "bins_differ",
        "devices_left",
    },
)
audit.keep("door.Closing")
