"""How the fields of disclosures are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "disclosure.Withholding",
    open={"id", "key", "is_withheld", "reason", "citation", "written_at", "written_by"},
)
privacy.declare(
    "disclosure.RecordsRequest",
    personal={"requester", "asked_for"},
    open={"id", "reference", "asked_on", "kinds", "first_day_on", "last_day_on", "entered_at", "entered_by"},
)
privacy.declare(
    "disclosure.ReleasedWords",
    household={"id", "records_request", "kind", "row", "column", "released_at", "released_by"},
)
privacy.declare(
    "disclosure.Disclosure",
    open={
        "id",
        "records_request",
        "key",
        "made_at",
        "made_by",
        "rows",
        "contents",
        "rules",
        "stored_as",
        "byte_count",
        "sha256",
    },
)
privacy.declare(
    "disclosure.Handover",
    personal={"to_whom"},
    open={"id", "disclosure", "how", "handed_over_on", "sha256", "entered_at", "entered_by"},
)
for label in ("Withholding", "RecordsRequest", "ReleasedWords"):
    audit.keep(f"disclosure.{label}")
audit.leave("disclosure.Disclosure", because="It is append-only and says who made it, and when.")
audit.leave("disclosure.Handover", because="It is append-only and says who entered it, and when.")
