"""Who signs in, what they changed, and the jobs that run behind their back."""

from datetime import date, datetime
from typing import Any, NoReturn

from auditlog.models import AbstractLogEntry
from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.db.models import ProtectedError, Q
from django.utils.translation import gettext_lazy as _

from outreach.staff.roles import OFFICE, Role


class StaffMemberQuerySet(models.QuerySet["StaffMember"]):
    def current(self, on: date) -> "StaffMemberQuerySet":
        """Those who may sign in on that day."""
        return self.filter(Q(ends_on__isnull=True) | Q(ends_on__gte=on), deactivated_at__isnull=True)

    def standing_administrators(self) -> "StaffMemberQuerySet":
        """Administrators who are active and whose access does not end by itself."""
        return self.filter(role=Role.ADMINISTRATOR, deactivated_at__isnull=True, ends_on__isnull=True)

    def delete(self) -> NoReturn:
        raise StaffAreKept


class StaffAreKept(ProtectedError):
    """People who left are deactivated: records point at them."""

    def __init__(self) -> None:
        super().__init__(
            str(_("People are never deleted; deactivate them. Records say who made them.")), set()
        )


class StaffManager(BaseUserManager.from_queryset(StaffMemberQuerySet)):  # type: ignore[misc]
    def create_user(self, username: str, password: str | None = None, **fields: Any) -> "StaffMember":
        member = self.model(username=username, **fields)
        member.set_password(password)
        member.full_clean()
        member.save(using=self._db)
        return member


class StaffMember(AbstractBaseUser):
    """One person who signs in, with one role. People who left are deactivated, never deleted."""

    username = models.CharField(_("sign-in name"), max_length=80, unique=True)
    full_name = models.CharField(_("name"), max_length=200)
    role = models.CharField(_("role"), max_length=20, choices=Role.choices)
    ends_on = models.DateField(_("last day of access"), null=True, blank=True)
    deactivated_at = models.DateTimeField(null=True, blank=True, editable=False)
    deactivated_by = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    # Set by someone else; the person must choose their own before doing anything.
    password_is_one_time = models.BooleanField(default=False, editable=False)

    USERNAME_FIELD = "username"
    REQUIRED_FIELDS = ["full_name", "role"]
    objects = StaffManager()

    class Meta:
        ordering = ["full_name"]
        constraints = [
            models.CheckConstraint(
                condition=Q(role__in=Role.values),
                name="staff_role_known",
                violation_error_message=_("Choose one of the five roles."),
            ),
            models.CheckConstraint(
                condition=~Q(role=Role.AUDITOR) | Q(ends_on__isnull=False),
                name="staff_auditor_ends",
                violation_error_message=_("An auditor's access ends on a set day. Give that day."),
            ),
            models.CheckConstraint(
                condition=Q(deactivated_at__isnull=True) | Q(deactivated_by__isnull=False),
                name="staff_deactivated_by_someone",
                violation_error_message=_("Say who deactivated this person."),
            ),
        ]

    def __str__(self) -> str:
        return self.full_name

    @property
    def is_active(self) -> bool:  # type: ignore[override]
        return self.deactivated_at is None

    def get_full_name(self) -> str:
        return self.full_name

    def delete(self, *args: Any, **options: Any) -> NoReturn:
        raise StaffAreKept


class AuditEntry(AbstractLogEntry):
    """One change to one record: who, when, what, and why where a reason was given."""

    reason: "models.CharField[str, str]" = models.CharField(max_length=500, blank=True)

    class Meta(AbstractLogEntry.Meta):
        ordering = ["-timestamp", "-id"]
        indexes = [models.Index(fields=["content_type", "object_id", "timestamp"])]


class JobQuerySet(models.QuerySet["Job"]):
    def waiting(self, at: datetime) -> "JobQuerySet":
        """Those that a worker may take up: queued, or begun by one whose lease has run out."""
        return self.filter(Q(state=Job.State.QUEUED) | Q(state=Job.State.RUNNING, lease_until_at__lt=at))

    def held(self, job: "Job") -> "JobQuerySet":
        """This job, as long as the worker that began this attempt still has it."""
        return self.filter(pk=job.pk, state=Job.State.RUNNING, attempts=job.attempts)

    def visible_to(self, member: StaffMember) -> "JobQuerySet":
        """The office sees all; everybody else sees what they asked for themselves."""
        return self if member.role in OFFICE else self.filter(queued_by=member)


class Job(models.Model):
    """One piece of work that runs outside a request: queued, running, done or failed."""

    class State(models.TextChoices):
        QUEUED = "queued", _("queued")
        RUNNING = "running", _("running")
        DONE = "done", _("done")
        FAILED = "failed", _("failed")

    kind = models.CharField(max_length=60)
    arguments = models.JSONField(default=dict)
    state = models.CharField(max_length=10, choices=State.choices, default=State.QUEUED)
    queued_at = models.DateTimeField()
    queued_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, related_name="+")
    lease_until_at = models.DateTimeField(null=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    done_steps = models.PositiveIntegerField(default=0)
    all_steps = models.PositiveIntegerField(default=0)
    message = models.TextField(blank=True)
    result = models.JSONField(null=True)
    finished_at = models.DateTimeField(null=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=Q(done_steps__lte=models.F("all_steps")),
                name="job_progress_within_all",
                violation_error_message=_("More steps done than there are."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"

    @property
    def is_finished(self) -> bool:
        return self.state in (self.State.DONE, self.State.FAILED)
