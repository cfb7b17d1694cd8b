"""How the fields of paperwork are classed. Paperwork is its own provenance: file, sheet and row."""

from outreach.staff import audit, privacy

# Names of files and sheets, and the title rows kept in `reading`, are free text.
privacy.declare(
    "intake.PaperworkFile",
    personal={"name", "reading"},
    household={"sha256", "stored_as", "copy_sha256"},
    open={"id", "byte_count", "kind", "state", "received_at", "received_by", "taken_in_at", "counts"},
)
privacy.declare(
    "intake.LayoutMapping",
    open={"id", "layout_key", "kind", "columns", "accepted_at", "accepted_by"},
)
privacy.declare(
    "intake.PaperworkRow",
    personal={"sheet", "cells", "resolution"},
    household={"id", "file", "row_number", "outcome", "review_reason", "resolved_at", "resolved_by"},
)
privacy.declare(
    "intake.IntakeMade",
    household={
        "id",
        "row",
        "registration",
        "handout",
        "answer",
        "household",
        "participant",
        "workshop",
        "movement",
        "bin_model",
        "venue",
        "served_place",
        "jurisdiction",
    },
)

audit.keep("intake.PaperworkFile")
audit.keep("intake.LayoutMapping")
audit.leave("intake.PaperworkRow", because="The row keeps its own cells, outcome, and who settled it when.")
audit.leave("intake.IntakeMade", because="It says which row made which record and is never changed.")
