"""A message as an e-mail, with the headers that mailboxes look for."""

from django.conf import settings
from django.core.mail import EmailMessage
from django.utils import translation
from django.utils.translation import gettext as _

from outreach.post import kinds, links, unsubscribing
from outreach.post.models import Message


def mail(message: Message) -> EmailMessage:
    """The message as it goes out; sent again it is the same one, by its Message-ID (RFC 5322, 3.6.4)."""
    headers = {
        "Message-ID": f"<{message.message_id}@{settings.MAIL_DOMAIN}>",
        "Auto-Submitted": "auto-generated",  # RFC 3834: no mailbox shall answer that its owner is away
        "Content-Language": message.language,
    }
    body = message.body
    if kinds.is_reminder(message.kind):
        address = links.public_url(unsubscribing.path_of(message))
        # One click, without a page in between (RFC 8058); the line at the end is for people.
        headers["List-Unsubscribe"] = f"<{address}>"
        headers["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
        with translation.override(message.language):
            body = f"{body}\n\n-- \n{_('No more reminders:')} {address}"
    return EmailMessage(message.subject, body + "\n", to=[message.recipient_email], headers=headers)
