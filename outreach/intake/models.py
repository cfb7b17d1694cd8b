"""Paperwork taken in: files, their rows as they were, how they were understood, and what came of them."""

from collections.abc import Iterable
from datetime import date

from django.db import models
from django.db.models import Count, Exists, OuterRef, Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models import BinModel, Handout, StockMovement
from outreach.followup.models import Answer
from outreach.households.models import Household, Participant
from outreach.places.models import Jurisdiction, ServedPlace, Venue
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember
from outreach.workshops.models import Registration, Workshop


class PaperworkFileQuerySet(models.QuerySet["PaperworkFile"]):
    def staged(self) -> "PaperworkFileQuerySet":
        """Opened and understood, waiting for a person to say that they may be taken in."""
        return self.filter(state=PaperworkFile.State.STAGED)

    def apart_from_staged(self) -> "PaperworkFileQuerySet":
        return self.exclude(state=PaperworkFile.State.STAGED)

    def taken_in(self) -> "PaperworkFileQuerySet":
        return self.filter(state=PaperworkFile.State.TAKEN_IN)

    def of_bytes(self, sha256: str) -> "PaperworkFileQuerySet":
        return self.filter(sha256=sha256)

    def numbered(self, numbers: Iterable[int]) -> "PaperworkFileQuerySet":
        return self.filter(pk__in=numbers)

    def behind(
        self, last_day: date, cut_off: date, jurisdiction: Jurisdiction | None
    ) -> "PaperworkFileQuerySet":
        """Those from which workshops, bins or answers up to these days came, for one jurisdiction or all."""
        made = IntakeMade.objects.filter(row__file=OuterRef("pk"))
        facts = (
            Q(registration__workshop__held_on__lte=last_day)
            | Q(handout__handed_on__lte=last_day)
            | Q(answer__answered_on__lte=cut_off)
        )
        if jurisdiction is not None:
            facts &= (
                Q(registration__workshop__jurisdiction=jurisdiction)
                | Q(handout__counted_under__jurisdiction=jurisdiction)
                | Q(answer__counted_under__jurisdiction=jurisdiction)
            )
        return self.taken_in().filter(Exists(made.filter(facts))).order_by("taken_in_at", "pk")

    def with_rows_for_review(self) -> "PaperworkFileQuerySet":
        """Each with how many of its rows wait for a person."""
        waits = Q(rows__resolved_at__isnull=True) & ~Q(rows__review_reason="")
        return (
            self.annotate(waiting=Count("rows", filter=waits))
            .order_by("-received_at", "-pk")
            .select_related("received_by")
        )


class PaperworkFile(models.Model):
    """One file taken in, by the digest of its bytes; the bytes lie under var/uploads."""

    class Kind(models.TextChoices):
        PLACES = "places", _("places served")
        STOCK = "stock", _("stock list")
        SIGN_IN = "sign_in", _("sign-in sheet")
        ANSWERS = "answers", _("follow-up answers")

    class State(models.TextChoices):
        STAGED = "staged", _("staged, nothing written yet")
        TAKEN_IN = "taken_in", _("taken in")
        SET_ASIDE = "set_aside", _("set aside")

    sha256 = models.CharField(max_length=64)
    name = models.CharField(_("file"), max_length=255)
    stored_as = models.CharField(max_length=255)
    copy_sha256 = models.CharField(max_length=64, blank=True)  # of a copy without rows of forgotten people
    byte_count = models.PositiveBigIntegerField()
    kind = models.CharField(_("kind"), max_length=10, choices=Kind.choices)
    state = models.CharField(_("state"), max_length=10, choices=State.choices, default=State.STAGED)
    received_at = models.DateTimeField()
    received_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    taken_in_at = models.DateTimeField(null=True, blank=True)
    # How its sheets were understood (heading row, columns, date, venue), and what came of it.
    reading = models.JSONField(default=dict)
    counts = models.JSONField(default=dict)

    objects = PaperworkFileQuerySet.as_manager()

    class Meta:
        ordering = ["-received_at"]
        constraints = [
            models.UniqueConstraint(
                fields=["sha256"],
                condition=Q(state="taken_in"),
                name="paperwork_taken_in_once",
                violation_error_message=_("This very file has already been taken in."),
            ),
        ]

    def __str__(self) -> str:
        return self.name


class LayoutMapping(models.Model):
    """How a person accepted the columns of a layout; used again when the same headings come."""

    layout_key = models.CharField(max_length=64, unique=True)
    kind = models.CharField(max_length=10, choices=PaperworkFile.Kind.choices)
    columns = models.JSONField()
    accepted_at = models.DateTimeField()
    accepted_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    def __str__(self) -> str:
        return f"{self.kind} {self.layout_key[:8]}"


class PaperworkRowQuerySet(models.QuerySet["PaperworkRow"]):
    def for_review(self) -> "PaperworkRowQuerySet":
        return self.filter(resolved_at__isnull=True).exclude(review_reason="")

    def not_read(self) -> "PaperworkRowQuerySet":
        """Those that wait because nothing at all could be recorded of them."""
        return self.for_review().filter(outcome=PaperworkRow.Outcome.NOT_READ)

    def of_file(self, file: PaperworkFile) -> "PaperworkRowQuerySet":
        return self.filter(file=file)

    def but_for(self, reason: str) -> "PaperworkRowQuerySet":
        return self.exclude(review_reason=reason)

    def waiting_like(self, row: "PaperworkRow") -> "PaperworkRowQuerySet":
        """Others of its sheet that could not be read for the same reason."""
        alike = self.not_read().filter(file=row.file, sheet=row.sheet, review_reason=row.review_reason)
        return alike.order_by("row_number")

    def with_outcome(self, outcome: str) -> "PaperworkRowQuerySet":
        """Rows of one outcome, or those for review; all where none is asked."""
        if outcome == "for_review":
            return self.for_review()
        return self.filter(outcome=outcome) if outcome in PaperworkRow.Outcome.values else self

    def newest_file_first(self) -> "PaperworkRowQuerySet":
        """As they are looked at: the rows of one file after those of a later one."""
        return self.order_by("-file_id", "sheet", "row_number")

    def next_for_review(self, after: "PaperworkRow") -> "PaperworkRow | None":
        """The row to look at when one has been settled."""
        return self.for_review().exclude(pk=after.pk).newest_file_first().first()


class PaperworkRow(models.Model):
    """One row of a sheet: its cells as they were, and why a person must look, if so."""

    class Outcome(models.TextChoices):
        MADE = "made", _("recorded")
        ALREADY_KNOWN = "already_known", _("already known")
        NOT_READ = "not_read", _("not read yet")
        PASSED_OVER = "passed_over", _("blank or total row")

    file = models.ForeignKey(PaperworkFile, models.PROTECT, related_name="rows")
    sheet = models.CharField(max_length=120)
    row_number = models.PositiveIntegerField()
    cells = models.JSONField()
    outcome = models.CharField(max_length=14, choices=Outcome.choices)
    # Personal words never stand in the reason; it names columns and what to do.
    review_reason = models.CharField(max_length=300, blank=True)
    resolved_at = models.DateTimeField(null=True, blank=True)
    resolved_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    resolution = models.CharField(max_length=300, blank=True)

    objects = PaperworkRowQuerySet.as_manager()

    class Meta:
        ordering = ["file", "sheet", "row_number"]
        constraints = [
            models.UniqueConstraint(
                fields=["file", "sheet", "row_number"],
                name="paperwork_row_once",
                violation_error_message=_("This row has already been read."),
            ),
            both_or_neither(
                "resolved_at",
                "resolved_by",
                name="paperwork_row_resolved_by_someone",
                sentence=_("Say who settled the row."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.file} {self.sheet} row {self.row_number}"

    @property
    def waits(self) -> bool:
        """A person has to look at it."""
        return bool(self.review_reason) and self.resolved_at is None


def _exactly_one_of(*names: str) -> Q:
    """Just one of these columns is filled in."""
    either = Q()
    for chosen in names:
        either |= Q(**{f"{name}__isnull": name != chosen for name in names})
    return either


def _made(model: type[models.Model]) -> models.ForeignKey:
    """A record of one kind; its index is that of the constraint, which leaves out the many empty ones."""
    return models.ForeignKey(model, models.PROTECT, null=True, related_name="+", db_index=False)


def _made_once(kind: str) -> models.UniqueConstraint:
    """A record comes of one row."""
    return models.UniqueConstraint(
        fields=[kind],
        condition=Q(**{f"{kind}__isnull": False}),
        name=f"intake_made_{kind}_once",
        violation_error_message=_("This record already has the row that made it."),
    )


# What a row can make.
KINDS = (
    "registration",
    "handout",
    "answer",
    "household",
    "participant",
    "workshop",
    "movement",
    "bin_model",
    "venue",
    "served_place",
    "jurisdiction",
)


class IntakeMadeQuerySet(models.QuerySet["IntakeMade"]):
    def that_made(self, kind: str, record: models.Model) -> "IntakeMadeQuerySet":
        """What made this very record, with its row and file."""
        return self.filter(**{kind: record}).select_related("row__file")

    def of_rows(self, rows: Iterable[PaperworkRow]) -> "IntakeMadeQuerySet":
        return self.filter(row__in=[row.pk for row in rows]).select_related(*IntakeMade.KINDS).order_by("pk")

    def handouts_of_row(self, row: PaperworkRow) -> "IntakeMadeQuerySet":
        return self.filter(row=row, handout__isnull=False)


class IntakeMade(models.Model):
    """What one row made: exactly one record of one kind."""

    KINDS = KINDS

    row = models.ForeignKey(PaperworkRow, models.PROTECT, related_name="made")
    registration = _made(Registration)
    handout = _made(Handout)
    answer = _made(Answer)
    household = _made(Household)
    participant = _made(Participant)
    workshop = _made(Workshop)
    movement = _made(StockMovement)
    bin_model = _made(BinModel)
    venue = _made(Venue)
    served_place = _made(ServedPlace)
    jurisdiction = _made(Jurisdiction)

    objects = IntakeMadeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=_exactly_one_of(*KINDS),
                name="intake_made_exactly_one",
                violation_error_message=_("A row's record is exactly one thing."),
            ),
            _made_once("registration"),
            _made_once("handout"),
            _made_once("answer"),
            _made_once("household"),
            _made_once("participant"),
            _made_once("workshop"),
            _made_once("movement"),
            _made_once("bin_model"),
            _made_once("venue"),
            _made_once("served_place"),
            _made_once("jurisdiction"),
        ]

    def __str__(self) -> str:
        return f"made by {self.row}"

    @property
    def record(self) -> models.Model:
        """The one thing it made."""
        return next(record for kind in self.KINDS if (record := getattr(self, kind)) is not None)
