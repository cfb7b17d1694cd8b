"""Waivers: the texts, version by version, and who accepted which."""

import uuid

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Participant
from outreach.workshops.models.registrations import Registration
from outreach.workshops.models.workshops import Workshop


class WaiverTextQuerySet(models.QuerySet["WaiverText"]):
    def current(self) -> "dict[str, WaiverText]":
        """The texts of the newest version, by language; none where no waiver was written yet."""
        newest = self.order_by("-version").values_list("version", flat=True).first()
        return {text.language: text for text in self.filter(version=newest or 0)}

    def worded(self, version: int, language: str) -> "WaiverText | None":
        return self.filter(version=version, language=language).first()


class WaiverText(models.Model):
    """One version of the waiver in one language. Append-only: a changed word is a new version."""

    version = models.PositiveIntegerField(_("version"))
    language = models.CharField(_("language"), max_length=5)
    body = models.TextField(_("text"))
    entered_at = models.DateTimeField()

    objects = WaiverTextQuerySet.as_manager()

    class Meta:
        ordering = ["-version", "language"]
        constraints = [
            models.UniqueConstraint(
                fields=["version", "language"],
                name="waiver_once_per_language",
                violation_error_message=_("This version is already written in that language."),
            ),
            models.CheckConstraint(
                condition=Q(version__gte=1) & ~Q(body=""),
                name="waiver_says_something",
                violation_error_message=_("Write the text of the waiver."),
            ),
        ]

    def __str__(self) -> str:
        return f"waiver {self.version} ({self.language})"


class WaiverAcceptanceQuerySet(models.QuerySet["WaiverAcceptance"]):
    def at(self, workshop: Workshop) -> "WaiverAcceptanceQuerySet":
        return self.filter(workshop=workshop)


class WaiverAcceptance(models.Model):
    """One person accepted one text of the waiver at one workshop, by typing their name."""

    # Made on the device that took it; the same one sent twice is one row.
    event_id = models.UUIDField(unique=True, default=uuid.uuid4)
    workshop = models.ForeignKey(Workshop, models.PROTECT, related_name="+")
    participant = models.ForeignKey(Participant, models.PROTECT, related_name="+")
    registration = models.OneToOneField(
        Registration, models.PROTECT, null=True, blank=True, related_name="waiver"
    )
    text = models.ForeignKey(WaiverText, models.PROTECT, related_name="+")
    typed_name = models.CharField(_("name as typed"), max_length=200)
    accepted_at = models.DateTimeField()
    # Who held the device, as they called themselves; a door pass has no account.
    taken_by = models.CharField(_("taken by"), max_length=200, blank=True)

    objects = WaiverAcceptanceQuerySet.as_manager()

    class Meta:
        ordering = ["accepted_at", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["workshop", "participant"],
                name="waiver_accepted_once",
                violation_error_message=_("This person has already accepted the waiver at this workshop."),
            ),
            models.CheckConstraint(
                condition=~Q(typed_name=""),
                name="waiver_has_a_name",
                violation_error_message=_("A waiver is accepted by typing one's name."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.text} by {self.participant}"
