"""The outbox."""

import uuid
from collections.abc import Collection
from datetime import datetime

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _


class MessageQuerySet(models.QuerySet["Message"]):
    def keyed(self, dedupe_key: str) -> "Message | None":
        return self.filter(dedupe_key=dedupe_key).first()

    def numbered(self, numbers: Collection[int]) -> "MessageQuerySet":
        return self.filter(pk__in=numbers)

    def to_person(self, number: int) -> "MessageQuerySet":
        return self.filter(recipient_number=number)

    def to_people(self, numbers: Collection[int]) -> "MessageQuerySet":
        return self.filter(recipient_number__in=numbers)

    def to_address(self, email: str) -> "MessageQuerySet":
        return self.filter(recipient_email__iexact=email)

    def in_group(self, dedupe_prefix: str) -> "MessageQuerySet":
        """Those whose key begins like that."""
        return self.filter(dedupe_key__startswith=dedupe_prefix)

    def of_kinds(self, keys: Collection[str]) -> "MessageQuerySet":
        return self.filter(kind__in=keys)

    def mails(self) -> "MessageQuerySet":
        return self.filter(channel=Message.Channel.EMAIL)

    def calls(self) -> "MessageQuerySet":
        return self.filter(channel=Message.Channel.CALL)

    def letters(self) -> "MessageQuerySet":
        return self.filter(channel=Message.Channel.LETTER)

    def queued(self) -> "MessageQuerySet":
        """Those that nobody has been told yet, one that is being sent among them."""
        return self.filter(state__in=Message.WAITING)

    def given_up(self) -> "MessageQuerySet":
        return self.filter(state=Message.State.GIVEN_UP)

    def due(self, at: datetime) -> "MessageQuerySet":
        """Those whose time has come and that nobody is sending: free, or left behind by whoever was killed."""
        return self.of_use(at).filter(
            Q(state=Message.State.QUEUED, next_try_at__lte=at)
            | Q(state=Message.State.LEASED, lease_until_at__lt=at)
        )

    def later_than(self, at: datetime) -> "MessageQuerySet":
        """Those that wait for a later hour."""
        return self.of_use(at).filter(state=Message.State.QUEUED, next_try_at__gt=at)

    def of_use(self, at: datetime) -> "MessageQuerySet":
        return self.filter(Q(useless_after__isnull=True) | Q(useless_after__gt=at))

    def no_longer_of_use(self, at: datetime) -> "MessageQuerySet":
        """Those that wait and whose time is over. One that is being sent is left to whoever sends it."""
        return self.filter(useless_after__lte=at).filter(
            Q(state=Message.State.QUEUED) | Q(state=Message.State.LEASED, lease_until_at__lt=at)
        )

    def tried(self, message: "Message") -> "MessageQuerySet":
        """This message, as long as nobody has begun another attempt."""
        return self.filter(pk=message.pk, attempts=message.attempts)

    def not_told(self) -> "MessageQuerySet":
        return self.exclude(state__in=Message.TOLD)

    def held(self, message: "Message") -> "MessageQuerySet":
        """This message, as long as whoever began this attempt still has it."""
        return self.tried(message).filter(state=Message.State.LEASED)

    def to_follow_up(self) -> "MessageQuerySet":
        """Those that somebody was told and whose kind has not heard of it yet."""
        return self.filter(state__in=Message.TOLD, is_followed_up=False)

    def in_order(self) -> "MessageQuerySet":
        """What runs out first, then what has waited longest."""
        return self.order_by(F("useless_after").asc(nulls_last=True), "queued_at", "pk")


class Message(models.Model):
    """One message to one reader: by e-mail, a line on the call list, or a letter to print."""

    class State(models.TextChoices):
        QUEUED = "queued", _("waits")
        LEASED = "leased", _("being sent")
        SENT = "sent", _("sent")
        SAID = "said", _("said on the phone")
        PRINTED = "printed", _("printed")
        GIVEN_UP = "given_up", _("given up")
        WITHDRAWN = "withdrawn", _("no longer wanted")

    class Channel(models.TextChoices):
        EMAIL = "email", _("e-mail")
        CALL = "call", _("call")
        LETTER = "letter", _("letter")
        NONE = "none", _("no way known")

    WAITING = (State.QUEUED, State.LEASED)
    TOLD = (State.SENT, State.SAID, State.PRINTED)

    kind = models.CharField(_("kind"), max_length=60)
    dedupe_key = models.CharField(
        max_length=200,
        unique=True,
        error_messages={"unique": _("This message is in the outbox already.")},
    )
    text_version = models.PositiveIntegerField(
        default=0, help_text=_("0 is the text that came with the software.")
    )
    language = models.CharField(_("language"), max_length=10)
    recipient_name = models.CharField(_("to"), max_length=200, blank=True)
    recipient_email = models.EmailField(_("e-mail"), blank=True)
    recipient_phone = models.CharField(_("phone"), max_length=40, blank=True)
    recipient_postal = models.TextField(_("postal address"), blank=True)
    recipient_number = models.BigIntegerField(null=True, blank=True)
    subject = models.CharField(_("subject"), max_length=300, blank=True)
    body = models.TextField(_("text"), blank=True)
    channel = models.CharField(_("by"), max_length=10, choices=Channel.choices)
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.QUEUED)
    queued_at = models.DateTimeField(_("written"))
    not_before = models.DateTimeField(null=True, blank=True)
    useless_after = models.DateTimeField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(_("tries"), default=0)
    next_try_at = models.DateTimeField(_("next try"))
    lease_until_at = models.DateTimeField(null=True, blank=True)
    # Whoever is killed between sending and noting it sends again under the same one.
    message_id = models.UUIDField(default=uuid.uuid4, editable=False)
    settled_at = models.DateTimeField(_("settled"), null=True, blank=True)
    settled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    is_followed_up = models.BooleanField(default=False, editable=False)
    last_error = models.TextField(_("what went wrong"), blank=True)
    about_url = models.CharField(max_length=300, blank=True)

    objects = MessageQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        indexes = [
            models.Index(fields=["state", "channel", "next_try_at"]),
            models.Index(fields=["recipient_number"]),
        ]
        constraints = [
            models.CheckConstraint(
                condition=~Q(state__in=["queued", "leased"], channel="email", recipient_email=""),
                name="message_mail_has_address",
                violation_error_message=_("An e-mail that waits needs an address."),
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["queued", "leased"], channel="call", recipient_phone=""),
                name="message_call_has_phone",
                violation_error_message=_("A call that waits needs a phone number."),
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["queued", "leased"], channel="letter", recipient_postal=""),
                name="message_letter_has_address",
                violation_error_message=_("A letter that waits needs a postal address."),
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["queued", "leased"], channel="none"),
                name="message_waits_for_a_way",
                violation_error_message=_("Without an address or a phone a message cannot wait to be sent."),
            ),
            models.CheckConstraint(
                condition=~Q(state__in=["queued", "leased"], body=""),
                name="message_waiting_says_something",
                violation_error_message=_("A message that waits must say something."),
            ),
            models.CheckConstraint(
                condition=Q(state="leased", channel="email", lease_until_at__isnull=False)
                | (~Q(state="leased") & Q(lease_until_at__isnull=True)),
                name="message_leased_until",
                violation_error_message=_("Only an e-mail that is being sent is held, and until an instant."),
            ),
            models.CheckConstraint(
                condition=Q(state__in=["queued", "leased"], settled_at__isnull=True)
                | (~Q(state__in=["queued", "leased"]) & Q(settled_at__isnull=False)),
                name="message_settled_at",
                violation_error_message=_("Say when a message was settled; one that waits is not."),
            ),
            models.CheckConstraint(
                condition=(~Q(state="sent") | Q(channel="email"))
                & (~Q(state="said") | Q(channel="call"))
                & (~Q(state="printed") | Q(channel="letter")),
                name="message_told_by_its_way",
                violation_error_message=_("E-mails are sent, calls are said, letters are printed."),
            ),
            models.CheckConstraint(
                condition=Q(not_before__isnull=True)
                | Q(useless_after__isnull=True)
                | Q(useless_after__gt=F("not_before")),
                name="message_has_a_time",
                violation_error_message=_("A message is of no use any more before it may be sent."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"

    @property
    def postal_lines(self) -> list[str]:
        return self.recipient_postal.splitlines()

    @property
    def is_waiting(self) -> bool:
        return self.state in self.WAITING

    def ways(self) -> list[Channel]:
        """The ways to its reader, the one we use first; NONE alone where there is none."""
        ways = (
            (self.Channel.EMAIL, self.recipient_email),
            (self.Channel.CALL, self.recipient_phone),
            (self.Channel.LETTER, self.recipient_postal),
        )
        return [way for way, address in ways if address] or [self.Channel.NONE]

    @property
    def why(self) -> str:
        """What went wrong, in the reader's language where it is a sentence of ours."""
        return gettext(self.last_error) if self.last_error else ""

    @property
    def was_told(self) -> bool:
        return self.state in self.TOLD

    def is_useless(self, at: datetime) -> bool:
        """Whether its time is over: the workshop has begun, the places went to someone else."""
        return self.useless_after is not None and self.useless_after <= at
