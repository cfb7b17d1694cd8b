"""What households ask help with, and what became of it."""

from collections.abc import Iterable
from datetime import date, timedelta

from django.db import models
from django.db.models import Q
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from outreach.coaching.symptoms import Symptom
from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember

OUTCOME_ASKED_AFTER = timedelta(days=14)


class HelpRequestQuerySet(models.QuerySet["HelpRequest"]):
    def not_closed(self) -> "HelpRequestQuerySet":
        return self.exclude(state=HelpRequest.State.CLOSED)

    def closed_without_household(self, by: date) -> "HelpRequestQuerySet":
        """Closed by a day, and nobody knows of which household they were."""
        closed = self.filter(household__isnull=True, state=HelpRequest.State.CLOSED)
        return closed.filter(closed_at__date__lte=by)

    def complaints(self) -> "HelpRequestQuerySet":
        return self.filter(kind=HelpRequest.Kind.COMPLAINT)

    def advised_problems(self) -> "HelpRequestQuerySet":
        """Problems of a household about which it was advised or visited."""
        return self.filter(
            kind=HelpRequest.Kind.PROBLEM, counted_under__isnull=False, advised_on__isnull=False
        )

    def made_from_any(self, sources: Iterable[str]) -> set[str]:
        """Which of these sources a help request was made from already."""
        made = self.filter(made_from__in=list(sources)).values_list("made_from", flat=True)
        return {source for source in made if source}

    def due_by(self, day: date) -> "HelpRequestQuerySet":
        return self.not_closed().filter(due_on__lte=day)

    def counted_for(self, household: Household) -> "HelpRequestQuerySet":
        return self.filter(counted_under=household.counted_under)

    def counted_for_any(self, root_ids: Iterable[int]) -> "HelpRequestQuerySet":
        return self.filter(counted_under__in=root_ids)

    def about(self, symptom: str) -> "HelpRequestQuerySet":
        return self.filter(symptoms__symptom=symptom)

    def to_link(self) -> "HelpRequestQuerySet":
        """Those that name no household yet."""
        return self.not_closed().filter(household__isnull=True)

    def standing(self, word: str, *, on: date) -> "HelpRequestQuerySet":
        """In a state, or not closed, past its day, or naming no household."""
        wider = {
            "not_closed": self.not_closed,
            "late": lambda: self.due_by(on - timedelta(days=1)),
            "to_link": self.to_link,
        }
        return wider[word]() if word in wider else self.filter(state=word)

    def first_due_first(self) -> "HelpRequestQuerySet":
        """Open ones first, by the day they are due, then the latest closed."""
        is_closed = models.Case(
            models.When(state=HelpRequest.State.CLOSED, then=1), default=0, output_field=models.IntegerField()
        )
        return self.order_by(is_closed, models.F("due_on").asc(nulls_last=True), "-opened_at", "-pk")

    def outcome_to_ask(self, on: date) -> "HelpRequestQuerySet":
        """Advised or visited two weeks ago or more, outcome unknown and not asked about yet."""
        states = (HelpRequest.State.ADVISED, HelpRequest.State.VISITED)
        return self.filter(
            state__in=states,
            outcome="",
            outcome_asked_on__isnull=True,
            advised_on__lte=on - OUTCOME_ASKED_AFTER,
            household__isnull=False,
        )

    def with_details(self) -> "HelpRequestQuerySet":
        return self.select_related(
            "household", "counted_under", "participant", "jurisdiction", "complaint", "entered_by"
        ).prefetch_related("symptoms", "visits")


class HelpRequest(models.Model):
    """One household's problem with composting, or an objection or complaint about it, until it is closed."""

    class Kind(models.TextChoices):
        PROBLEM = "problem", _("problem")
        OBJECTION = "objection", _("objection")
        COMPLAINT = "complaint", _("complaint of an authority")

    class CameBy(models.TextChoices):
        ANSWER = "answer", _("follow-up answer")
        PUBLIC_PAGE = "public_page", _("public page")
        PHONE = "phone", _("phone")
        DOOR = "door", _("at a workshop")
        AUTHORITY = "authority", _("an authority")

    class Objector(models.TextChoices):
        NEIGHBOUR = "neighbour", _("neighbour")
        ASSOCIATION = "association", _("homeowners' association")
        LANDLORD = "landlord", _("landlord")

    class State(models.TextChoices):
        OPEN = "open", _("open")
        ADVISED = "advised", _("advised")
        VISITED = "visited", _("visited")
        CLOSED = "closed", _("closed")

    class Outcome(models.TextChoices):
        SOLVED = "solved", _("solved")
        BETTER = "better", _("better")
        UNCHANGED = "unchanged", _("no better")
        STOPPED = "stopped", _("stopped composting")
        NOT_KNOWN = "not_known", _("not known")

    household = models.ForeignKey(
        Household, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("household")
    )
    counted_under = models.ForeignKey(Household, models.PROTECT, null=True, blank=True, related_name="+")
    participant = models.ForeignKey(
        Participant, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("person")
    )
    jurisdiction = models.ForeignKey(
        Jurisdiction, models.PROTECT, null=True, blank=True, related_name="+", verbose_name=_("jurisdiction")
    )
    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices, default=Kind.PROBLEM)
    objector = models.CharField(_("who objects"), max_length=12, choices=Objector.choices, blank=True)
    came_by = models.CharField(_("came by"), max_length=12, choices=CameBy.choices)
    own_words = models.TextField(_("in their own words"), max_length=2000, blank=True)
    language = models.CharField(_("language"), max_length=5, blank=True)
    # What they wrote of themselves where no household is named yet.
    written_name = models.CharField(_("name"), max_length=200, blank=True)
    written_address = models.CharField(_("address"), max_length=300, blank=True)
    email = models.EmailField(_("e-mail"), blank=True)
    phone = models.CharField(_("phone"), max_length=40, blank=True)
    opened_at = models.DateTimeField(_("opened"))
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    due_on = models.DateField(_("due on"), null=True, blank=True)
    state = models.CharField(_("state"), max_length=8, choices=State.choices, default=State.OPEN)
    # The day of the latest advice or visit; the outcome is asked two weeks later.
    advised_on = models.DateField(null=True, blank=True)
    outcome = models.CharField(_("outcome"), max_length=10, choices=Outcome.choices, blank=True)
    outcome_note = models.CharField(_("what came of it"), max_length=300, blank=True)
    outcome_asked_on = models.DateField(_("outcome asked on"), null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    # What it was made from, such as 'answer 12', so that the same is never opened twice.
    made_from = models.CharField(max_length=60, null=True, blank=True, unique=True)

    objects = HelpRequestQuerySet.as_manager()

    class Meta:
        ordering = ["-opened_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "due_on"], name="help_request_by_due"),
            models.Index(fields=["state", "advised_on"], name="help_request_by_advised"),
        ]
        constraints = [
            both_or_neither(
                "household",
                "counted_under",
                name="help_household_counts_under_one",
                sentence=_("A help request of a household counts under one."),
            ),
            models.CheckConstraint(
                condition=Q(participant__isnull=True) | Q(household__isnull=False),
                name="help_person_of_a_household",
                violation_error_message=_("Name the household of this person."),
            ),
            models.CheckConstraint(
                condition=Q(household__isnull=False) | ~Q(email="") | ~Q(phone="") | ~Q(written_address=""),
                name="help_asked_by_someone",
                violation_error_message=_(
                    "Name the household, or give a phone, an e-mail address or an address to reach them."
                ),
            ),
            models.CheckConstraint(
                condition=(Q(kind="objection") & ~Q(objector="")) | (~Q(kind="objection") & Q(objector="")),
                name="help_objection_has_an_objector",
                violation_error_message=_("Say who objects, and only for an objection."),
            ),
            models.CheckConstraint(
                condition=~Q(kind="complaint") | Q(due_on__isnull=False),
                name="help_complaint_is_due",
                violation_error_message=_("A complaint passed on by an authority has a due date."),
            ),
            models.CheckConstraint(
                condition=(Q(state="closed") & Q(closed_at__isnull=False))
                | (~Q(state="closed") & Q(closed_at__isnull=True)),
                name="help_closed_at_an_instant",
                violation_error_message=_("A closed help request says when, and no other does."),
            ),
            models.CheckConstraint(
                condition=~Q(state="closed") | ~Q(outcome=""),
                name="help_closed_with_an_outcome",
                violation_error_message=_("Say what came of it before you close it; “not known” will do."),
            ),
            models.CheckConstraint(
                condition=Q(state="open") | Q(state="closed") | Q(advised_on__isnull=False),
                name="help_advised_on_a_day",
                violation_error_message=_("Say on which day they were advised or visited."),
            ),
            models.CheckConstraint(
                condition=Q(outcome_asked_on__isnull=True)
                | Q(advised_on__isnull=False, outcome_asked_on__gte=models.F("advised_on")),
                name="help_outcome_asked_after_advice",
                violation_error_message=_("The outcome is asked after there was advice."),
            ),
        ]

    def __str__(self) -> str:
        return f"{str(self.get_kind_display()).capitalize()} {self.pk}"

    @property
    def opened_on(self) -> date:
        """The day it came."""
        return timezone.localdate(self.opened_at)

    @property
    def closed_on(self) -> date | None:
        """The day it was closed, if it is."""
        return timezone.localdate(self.closed_at) if self.closed_at else None

    @property
    def is_closed(self) -> bool:
        return self.state == self.State.CLOSED

    @property
    def symptom_words(self) -> list[str]:
        """Its symptoms as people read them."""
        return [str(one.get_symptom_display()) for one in self.symptoms.all()]

    def is_late(self, on: date) -> bool:
        """Past its due date, and still not closed."""
        return not self.is_closed and self.due_on is not None and self.due_on < on


class ReportedSymptomQuerySet(models.QuerySet["ReportedSymptom"]):
    def counts(self, requests: Iterable[int]) -> dict[str, int]:
        """How many of these help requests named each symptom."""
        rows = self.filter(help_request__in=requests).order_by().values_list("symptom")
        return dict(rows.annotate(n=models.Count("pk")))


class ReportedSymptom(models.Model):
    """One symptom that a help request names."""

    help_request = models.ForeignKey(HelpRequest, models.CASCADE, related_name="symptoms")
    symptom = models.CharField(_("symptom"), max_length=16, choices=Symptom.choices)

    objects = ReportedSymptomQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["help_request", "symptom"],
                name="symptom_named_once",
                violation_error_message=_("Each symptom is named once."),
            ),
            models.CheckConstraint(
                condition=Q(symptom__in=Symptom.values),
                name="symptom_is_known",
                violation_error_message=_("Choose a symptom from the list."),
            ),
        ]

    def __str__(self) -> str:
        return str(self.get_symptom_display())
