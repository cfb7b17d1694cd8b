"""What a mail server's refusal means: whether trying again can help, and words that name nobody.

Replies from 500 on are for good, those from 400 on for now (RFC 5321, section 4.2.1). What the server says of
ourselves, our sender or our sign-in, is for now: an administrator can mend it.
"""

import smtplib
from typing import NamedTuple

from django.utils.translation import gettext as _

FIRST_FOR_GOOD = 500


class Refusal(NamedTuple):
    """Why a mail did not go out, and whether that is for good."""

    words: str
    is_final: bool


# What sending can raise: the server's answers, the network, and an address that cannot be written on a mail.
KINDS = (smtplib.SMTPException, OSError, ValueError)


def read(error: Exception) -> Refusal:
    """What an error of one of `KINDS` means."""
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        codes = sorted({code for code, _said in error.recipients.values()})
        words = _("The mail server refused the address (%(codes)s).") % {
            "codes": ", ".join(str(code) for code in codes)
        }
        return Refusal(words, min(codes, default=0) >= FIRST_FOR_GOOD)
    if isinstance(error, smtplib.SMTPAuthenticationError):
        return Refusal(_("The mail server did not accept our name and password."), False)
    if isinstance(error, smtplib.SMTPResponseException):
        words = _("The mail server answered %(code)s.") % {"code": error.smtp_code}
        is_about_mail = isinstance(error, smtplib.SMTPDataError)
        return Refusal(words, is_about_mail and error.smtp_code >= FIRST_FOR_GOOD)
    if isinstance(error, (smtplib.SMTPNotSupportedError, ValueError)):
        return Refusal(_("The address cannot be written to by this mail server."), True)
    return Refusal(_("The mail server cannot be reached (%(what)s).") % {"what": type(error).__name__}, False)
