"""How the fields of the staff app's own tables are classed (the registry itself is `privacy.py`)."""

from outreach.staff import audit, privacy

privacy.declare(
    "staff.StaffMember",
    personal={"password", "username", "full_name"},
    household={"last_login"},
    open={"id", "role", "ends_on", "deactivated_at", "deactivated_by", "password_is_one_time"},
)
audit.keep("staff.StaffMember", except_for={"last_login"})

privacy.declare(
    "staff.AuditEntry",
    personal={"reason", "actor_email", "remote_addr", "remote_port"},
    household={
        "object_pk",
        "object_id",
        "object_repr",
        "serialized_data",
        "changes_text",
        "changes",
        "additional_data",
        "actor",
        "cid",
    },
    open={"id", "content_type", "action", "timestamp"},
)
audit.leave("staff.AuditEntry", because="It is the trail.")

# Arguments, messages and results may carry names of files and words from them.
privacy.declare(
    "staff.Job",
    personal={"arguments", "message", "result"},
    household={"queued_by"},
    open={
        "id",
        "kind",
        "state",
        "queued_at",
        "lease_until_at",
        "attempts",
        "done_steps",
        "all_steps",
        "finished_at",
    },
)
audit.leave("staff.Job", because="A job is a note of work under way; what it changes has entries of its own.")
