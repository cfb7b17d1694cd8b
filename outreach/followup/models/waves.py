"""What is asked months after a bin was handed out."""

from django.apps import apps
from django.db import models
from django.db.models import Count, OuterRef, Subquery
from django.db.models.functions import Coalesce
from django.utils.translation import gettext_lazy as _

from outreach.staff.constraints import within


class WaveQuerySet(models.QuerySet["Wave"]):
    def with_answers(self) -> "WaveQuerySet":
        """Each with `answers`: how many it has that are current."""
        answers = apps.get_model("followup", "Answer")._default_manager.current()
        theirs = answers.order_by().filter(wave=OuterRef("pk")).values("wave")
        counted = Subquery(theirs.annotate(n=Count("pk")).values("n"), output_field=models.IntegerField())
        return self.annotate(answers=Coalesce(counted, 0))


class Wave(models.Model):
    """The questions due a set number of months after a handout, and how households are asked and reminded."""

    months_after = models.PositiveSmallIntegerField(_("months after the handout"), unique=True)
    name = models.CharField(_("name"), max_length=80)
    is_open = models.BooleanField(_("asked"), default=True)
    # Common practice, no source: six weeks, and two reminders ten days apart.
    days_open = models.PositiveSmallIntegerField(_("days in which it can be answered"), default=42)
    reminders = models.PositiveSmallIntegerField(_("reminders at most"), default=2)
    days_between = models.PositiveSmallIntegerField(_("days between reminders"), default=10)

    objects = WaveQuerySet.as_manager()

    class Meta:
        ordering = ["months_after"]
        constraints = [
            within(
                "months_after",
                1,
                120,
                name="wave_months_sensible",
                sentence=_("A wave is due from 1 to 120 months after the handout."),
            ),
            within(
                "days_open",
                7,
                180,
                name="wave_days_open_sensible",
                sentence=_("A wave can be answered for 7 to 180 days."),
            ),
            within(
                "reminders",
                0,
                5,
                name="wave_reminders_sensible",
                sentence=_("Remind a household at most 5 times, or not at all."),
            ),
            within(
                "days_between",
                3,
                60,
                name="wave_days_between_sensible",
                sentence=_("Leave 3 to 60 days between reminders."),
            ),
        ]

    def __str__(self) -> str:
        return self.name
