"""The texts of messages as people worded them, and who wants no reminders."""

from collections.abc import Collection

from django.conf import settings
from django.db import models
from django.db.models import Max, Q
from django.utils.translation import gettext_lazy as _


class TextVersionQuerySet(models.QuerySet["TextVersion"]):
    def of(self, kind: str, language: str) -> "TextVersionQuerySet":
        return self.filter(kind=kind, language=language)

    def counted(self, version: int) -> "TextVersion | None":
        return self.filter(version=version).first()

    def newest_first(self) -> "TextVersionQuerySet":
        return self.order_by("-version")

    def with_writers(self) -> "TextVersionQuerySet":
        return self.select_related("written_by")

    def newest(self) -> dict[tuple[str, str], int]:
        """The newest version of each kind in each language that anyone has worded anew."""
        rows = self.order_by().values_list("kind", "language").annotate(newest=Max("version"))
        return {(kind, language): version for kind, language, version in rows}


class TextVersion(models.Model):
    """One wording of a kind of message in one language; never changed, the newest is used."""

    kind = models.CharField(max_length=60)
    language = models.CharField(_("language"), max_length=10)
    version = models.PositiveIntegerField(_("version"))
    subject = models.CharField(_("subject"), max_length=200)
    body = models.TextField(_("text"))
    written_at = models.DateTimeField(_("written"))
    written_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")

    objects = TextVersionQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "language", "-version"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind", "language", "version"],
                name="text_version_counted_once",
                violation_error_message=_("Someone else changed this text meanwhile. Look at it again."),
            ),
            models.CheckConstraint(
                condition=Q(version__gte=1),
                name="text_version_from_one",
                violation_error_message=_(
                    "Versions count from 1; 0 is the text that came with the software."
                ),
            ),
            models.CheckConstraint(
                condition=~Q(subject="") & ~Q(body=""),
                name="text_version_says_something",
                violation_error_message=_("A text has a subject and says something."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.language} {self.version}"


class UnsubscribedQuerySet(models.QuerySet["Unsubscribed"]):
    def of(self, *, address_keys: Collection[str], number: int | None) -> "UnsubscribedQuerySet":
        """What is known of any of these addresses, or of this person."""
        person = Q() if number is None else Q(recipient_number=number)
        return self.filter(Q(address_key__in=set(address_keys) - {""}) | person)


class Unsubscribed(models.Model):
    """One address, under a digest, or one person, under a number, that gets no reminders any more."""

    address_key = models.CharField(max_length=64, blank=True)
    recipient_number = models.BigIntegerField(null=True, blank=True)
    unsubscribed_at = models.DateTimeField()

    objects = UnsubscribedQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["address_key"],
                condition=~Q(address_key=""),
                name="unsubscribed_address_once",
                violation_error_message=_("This address gets no reminders already."),
            ),
            models.UniqueConstraint(
                fields=["recipient_number"],
                condition=Q(recipient_number__isnull=False),
                name="unsubscribed_person_once",
                violation_error_message=_("This person gets no reminders already."),
            ),
            models.CheckConstraint(
                condition=Q(address_key="", recipient_number__isnull=False)
                | (~Q(address_key="") & Q(recipient_number__isnull=True)),
                name="unsubscribed_address_or_person",
                violation_error_message=_("Say which address wants no reminders, or which person."),
            ),
        ]

    def __str__(self) -> str:
        return f"unsubscribed {self.pk}"
