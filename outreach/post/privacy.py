"""How the fields of messages and texts are classed."""

from outreach.staff import audit, privacy

privacy.declare(
    "post.Message",
    personal={
        "recipient_name",
        "recipient_email",
        "recipient_phone",
        "recipient_postal",
        "subject",
        "body",
        "last_error",
        "about_url",
    },
    household={
        "id",
        "kind",
        "dedupe_key",
        "text_version",
        "language",
        "recipient_number",
        "channel",
        "state",
        "queued_at",
        "not_before",
        "useless_after",
        "attempts",
        "next_try_at",
        "lease_until_at",
        "message_id",
        "settled_at",
        "settled_by",
        "is_followed_up",
    },
)
audit.leave("post.Message", because="A message says itself how it ended, when, and who said so.")

privacy.declare(
    "post.TextVersion",
    open={"id", "kind", "language", "version", "subject", "body", "written_at", "written_by"},
)
audit.leave("post.TextVersion", because="Wordings are only added, each with who wrote it and when.")

privacy.declare("post.Unsubscribed", household={"id", "address_key", "recipient_number", "unsubscribed_at"})
audit.leave("post.Unsubscribed", because="Residents say this themselves; the row says when.")
