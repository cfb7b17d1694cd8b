"""How the fields of filings are classed, and whose changes are kept."""

from outreach.staff import audit, privacy

privacy.declare(
    "filings.FilingDraft",
    open={"id", "jurisdiction", "first_day_on", "last_day_on", "settings", "begun_at", "begun_by"},
)
# A filing is made to be published, with the reasons for restating it; its strata may be thin.
privacy.declare(
    "filings.Filing",
    household={"inputs"},
    open={
        "id",
        "jurisdiction",
        "title",
        "first_day_on",
        "last_day_on",
        "cut_off_on",
        "submitted_at",
        "submitted_by",
        "factor_set",
        "factor_set_sha256",
        "software_version",
        "settings",
        "inputs_sha256",
        "figures",
        "figures_sha256",
        "restates",
        "reasons",
    },
)
privacy.declare(
    "filings.FilingLine",
    household={"id", "filing", "number", "cell", "days", "food", "yard", "is_answered"},
)

audit.keep("filings.FilingDraft")
audit.leave("filings.Filing", because="A filing is never changed; it says itself who submitted it and when.")
audit.leave("filings.FilingLine", because="The lines of a filing are never changed.")
