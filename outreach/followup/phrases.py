"""What one asks of answers, as phrases that chain."""

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from django.db import models
from django.db.models import Case, Q, When

from outreach.households.models import Household
from outreach.places.models import Jurisdiction

if TYPE_CHECKING:
    from outreach.followup.models import Answer, Wave

# Nothing made a person look, or a person has looked and let it count.
NOT_WAITING = Q(review_reason="") | Q(reviewed_at__isnull=False)


class AnswerQuerySet(models.QuerySet["Answer"]):
    def current(self) -> "AnswerQuerySet":
        """As they stand, without those a correction has replaced."""
        return self.filter(is_current=True)

    def counting(self) -> "AnswerQuerySet":
        """Current and not waiting in review."""
        return self.current().filter(NOT_WAITING)

    def wanting_help(self, *, since: date) -> "AnswerQuerySet":
        """Those that ask for help, given on that day or later."""
        return self.filter(wants_help=True, answered_on__gte=since)

    def in_review(self) -> "AnswerQuerySet":
        """Current, but a person must look before they count."""
        return self.current().exclude(NOT_WAITING)

    def corrected(self) -> "AnswerQuerySet":
        """Replaced by a later row."""
        return self.filter(corrected_by__isnull=False)

    def set_aside(self) -> "AnswerQuerySet":
        """Looked at and found to say nothing; kept, never counted."""
        return self.filter(is_current=False, corrected_by__isnull=True)

    def after_being_asked(self) -> "AnswerQuerySet":
        """Those of households that an invitation had reached by then."""
        return self.filter(reminders__isnull=False)

    def says_before(self) -> "AnswerQuerySet":
        """Those that were understood to say where scraps or trimmings went before the bin."""
        said = Q(food_trash_percent__isnull=False) | Q(yard_trash_percent__isnull=False)
        return self.filter(said).exclude(before_as_written="")

    def counted_for(self, household: Household) -> "AnswerQuerySet":
        return self.filter(counted_under=household)

    def of_jurisdiction(self, jurisdiction: Jurisdiction) -> "AnswerQuerySet":
        return self.filter(counted_under__jurisdiction=jurisdiction)

    def recorded_for(self, root_ids: Iterable[int]) -> "AnswerQuerySet":
        """Everything these households said, corrected ones too, in the order it was recorded."""
        return self.filter(counted_under__in=root_ids).order_by("pk")

    def of_wave(self, wave: "Wave") -> "AnswerQuerySet":
        return self.filter(wave=wave)

    def review_first(self) -> "AnswerQuerySet":
        """What a person has to look at, then the rest, the latest first."""
        waits = Case(When(~NOT_WAITING & Q(is_current=True), then=0), default=1)
        return self.order_by(waits, "-answered_on", "-pk")

    def with_history(self) -> "AnswerQuerySet":
        """With the people who entered and reviewed it, and what it corrects."""
        return self.with_household().select_related("entered_by", "reviewed_by", "corrects")

    def with_household(self) -> "AnswerQuerySet":
        """With what a list of answers prints of each, in one query."""
        return self.select_related("household__jurisdiction", "participant", "wave", "corrected_by")

    def of_household(self, household: Household) -> "AnswerQuerySet":
        """Recorded under this household itself, whatever it was merged into."""
        return self.filter(household=household)

    def answered_on_day(self, day: date) -> "AnswerQuerySet":
        return self.filter(answered_on=day)

    def answered_between(self, first_day: date, last_day: date) -> "AnswerQuerySet":
        return self.filter(answered_on__range=(first_day, last_day))
