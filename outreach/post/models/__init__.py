"""The outbox, the texts as people worded them, and who wants no reminders."""

from outreach.post.models.messages import Message, MessageQuerySet
from outreach.post.models.wordings import (
    TextVersion,
    TextVersionQuerySet,
    Unsubscribed,
    UnsubscribedQuerySet,
)

__all__ = [
    "Message",
    "MessageQuerySet",
    "TextVersion",
    "TextVersionQuerySet",
    "Unsubscribed",
    "UnsubscribedQuerySet",
]
