"""How the steps of the end are classed: numbers, digests, who and when."""

from outreach.staff import audit, privacy

privacy.declare("ending.EndStep", open={"id", "step", "is_done", "facts", "said_at", "said_by"})
audit.leave("ending.EndStep", because="Steps are append-only and say who did them, and when.")
