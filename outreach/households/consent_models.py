"""What households said about being asked and written to."""

from collections.abc import Collection

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.households.models import Household
from outreach.staff.models import StaffMember


class ConsentQuerySet(models.QuerySet["Consent"]):
    def of_any(self, households: Collection[Household], purpose: str) -> "ConsentQuerySet":
        """What was said for these records on one purpose, the latest first."""
        return self.filter(household__in=households, purpose=purpose).order_by("-said_at", "-pk")

    def of_roots(self, roots: Collection[Household]) -> "ConsentQuerySet":
        """Those of these households and of the records merged into them."""
        return self.filter(Q(household__in=roots) | Q(household__merged_into__in=roots))

    def told_before(self, said: "Consent") -> "ConsentQuerySet":
        """The same statement, told again."""
        return self.filter(household=said.household, purpose=said.purpose, how=said.how, said_at=said.said_at)

    def on_purpose(self, purpose: str) -> "ConsentQuerySet":
        """Everything said on one purpose, the latest first."""
        return self.filter(purpose=purpose).order_by("-said_at", "-pk")


class Consent(models.Model):
    """Once when a household gave its consent to one purpose, or withdrew it; the latest holds.

    Rows are only added, so that it can be shown who said what, when and how.
    """

    class Purpose(models.TextChoices):
        FOLLOW_UP = "follow_up", _("being asked how the composting goes")

    class How(models.TextChoices):
        SIGN_UP = "sign_up", _("on the sign-up form")
        DOOR = "door", _("at the Door")
        ANSWER = "answer", _("in the form of our questions")
        LINK = "link", _("by the link in a message")
        OFFICE = "office", _("told the office")

    household = models.ForeignKey(Household, models.PROTECT, related_name="+")
    purpose = models.CharField(_("what for"), max_length=10, choices=Purpose.choices)
    is_given = models.BooleanField(_("may be asked"))
    how = models.CharField(_("how we know"), max_length=10, choices=How.choices)
    # Which version of our words stood beside what they ticked or pressed; none where a person was told.
    words_version = models.PositiveSmallIntegerField(_("words"), null=True, blank=True)
    said_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = ConsentQuerySet.as_manager()

    class Meta:
        ordering = ["-said_at"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(how="office") | Q(entered_by__isnull=False),
                name="consent_entered_by_someone",
                violation_error_message=_("Say who was told."),
            ),
            models.CheckConstraint(
                condition=~Q(how="office") | Q(words_version__isnull=True),
                name="consent_to_words_they_saw",
                violation_error_message=_("Whoever told the office saw none of our words."),
            ),
        ]

    def __str__(self) -> str:
        return f"household {self.household_id} {self.purpose}"
