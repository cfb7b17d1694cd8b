"""How the fields of help requests are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "coaching.HelpRequest",
    personal={"own_words", "written_name", "written_address", "email", "phone", "outcome_note"},
    household={
        "id",
        "household",
        "counted_under",
        "participant",
        "jurisdiction",
        "kind",
        "objector",
        "came_by",
        "language",
        "opened_at",
        "entered_by",
        "due_on",
        "state",
        "advised_on",
        "outcome",
        "outcome_asked_on",
        "closed_at",
        "closed_by",
        "made_from",
    },
)
privacy.declare("coaching.ReportedSymptom", household={"id", "help_request", "symptom"})
privacy.declare(
    "coaching.Complaint",
    # A case number leads to a name at the authority.
    personal={"case_number", "ordered_action"},
    household={
        "id",
        "help_request",
        "authority",
        "received_on",
        "ordered_by_on",
        "outcome",
        "reported_back_on",
    },
)
privacy.declare(
    "coaching.HelpStep",
    personal={"words"},
    household={"id", "help_request", "kind", "done_on", "entered_at", "entered_by"},
)
privacy.declare(
    "coaching.Visit",
    personal={"seen", "done", "visited_by"},
    household={"id", "help_request", "visited_on", "bin_in_use", "entered_at", "entered_by"},
)
privacy.declare(
    "coaching.LocalRules",
    open={
        "id",
        "jurisdiction",
        "lot_line_feet",
        "dwelling_feet",
        "water_feet",
        "most_bins",
        "placement",
        "placement_es",
        "vector_control_name",
        "vector_control_phone",
        "source",
        "checked_on",
    },
)
for label in ("HelpRequest", "ReportedSymptom", "Complaint", "HelpStep", "Visit", "LocalRules"):
    audit.keep(f"coaching.{label}")
