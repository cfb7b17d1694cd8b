"""How the fields of filings are classed. Lines hold nothing that leads back to a household."""

from outreach.staff import audit, privacy

privacy.declare(
    "filings.FilingDraft",
    open={"id", "jurisdiction", "period", "settings", "answers", "findings_open", "begun_at", "begun_by"},
)
privacy.declare(
    "filings.Filing",
    open={
        "id",
        "jurisdiction",
        "title",
        "period",
        "first_day_on",
        "last_day_on",
        "cut_off_on",
        "submitted_at",
        "submitted_by",
        "factor_set",
        "factor_set_sha256",
        "software_version",
        "settings",
        "inputs",
        "inputs_sha256",
        "report",
        "report_sha256",
        "answers",
        "restates",
        "reasons",
    },
)
privacy.declare(
    "filings.FilingLine",
    household={
        "id",
        "filing",
        "quarter",
        "span",
        "number",
        "cell",
        "days",
        "unasked",
        "food",
        "yard",
        "browns",
    },
)
audit.keep("filings.FilingDraft")
audit.leave("filings.Filing", because="Filings are append-only and carry who submitted them, and when.")
audit.leave("filings.FilingLine", because="Lines are append-only and belong to one filing.")
