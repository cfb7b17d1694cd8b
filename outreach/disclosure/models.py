"""Records requests, what the law of the place withholds, and what went to whom. What went out is append-only."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from outreach.staff.constraints import not_before
from outreach.staff.models import StaffMember


class Withholding(models.Model):
    """What the programme withholds of one class of fields, or of one column, and why: as its counsel says.

    `key` is a class (`person`, `words`, `household`) or a column, such as `handouts.lot`.
    """

    PERSON, WORDS, HOUSEHOLD = "person", "words", "household"

    key = models.CharField(_("class or column"), max_length=80, unique=True)
    is_withheld = models.BooleanField(_("withheld"), default=True)
    reason = models.CharField(_("reason"), max_length=300, blank=True)
    citation = models.CharField(
        _("law or rule"),
        max_length=300,
        blank=True,
        help_text=_("As counsel of the place gives it. Stands beside each field that is blacked out."),
    )
    written_at = models.DateTimeField()
    written_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    class Meta:
        ordering = ["key"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(key__in=["person", "words"]) | Q(is_withheld=True),
                name="withholding_of_people_stays",
                violation_error_message=_(
                    "Names, addresses and what people wrote are always withheld. Free text is released row by row."
                ),
            ),
            models.CheckConstraint(
                condition=Q(is_withheld=False) | ~Q(reason=""),
                name="withholding_has_a_reason",
                violation_error_message=_("Say why it is withheld."),
            ),
        ]

    def __str__(self) -> str:
        return self.key


class RecordsRequestQuerySet(models.QuerySet["RecordsRequest"]):
    def newest_first(self) -> "RecordsRequestQuerySet":
        return self.order_by("-asked_on", "-pk").select_related("entered_by")

    def with_what_went_out(self) -> "RecordsRequestQuerySet":
        return self.prefetch_related("disclosures__handovers")


class RecordsRequest(models.Model):
    """Someone asked to see records: who, when, in which words, and how the office reads them."""

    reference = models.CharField(
        _("number of the request"),
        max_length=60,
        unique=True,
        error_messages={
            "unique": _("A request of this number is taken down already. Open it from the list.")
        },
    )
    requester = models.CharField(_("who asked"), max_length=200)
    asked_on = models.DateField(_("asked on"))
    asked_for = models.TextField(_("what they asked for, in their words"), max_length=4000)
    kinds = models.JSONField(_("records"), default=list, blank=True)
    first_day_on = models.DateField(_("from"))
    last_day_on = models.DateField(_("to"))
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = RecordsRequestQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_on", "-id"]
        constraints = [
            not_before(
                "last_day_on",
                "first_day_on",
                name="records_request_days_in_order",
                sentence=_("The last day lies before the first. Swap them?"),
            ),
            models.CheckConstraint(
                condition=~Q(kinds=[]),
                name="records_request_names_records",
                violation_error_message=_("Choose at least one kind of records."),
            ),
        ]

    def __str__(self) -> str:
        return self.reference

    def get_absolute_url(self) -> str:
        return reverse("records_request", args=[self.pk])


class ReleasedWordsQuerySet(models.QuerySet["ReleasedWords"]):
    def of_kind(self, kind: str) -> "ReleasedWordsQuerySet":
        return self.filter(kind=kind)

    def of_rows(self, rows: "list[int]") -> "ReleasedWordsQuerySet":
        return self.filter(row__in=rows)

    def places(self) -> "set[tuple[int, str]]":
        """Row and column of each."""
        return set(self.values_list("row", "column"))


class ReleasedWords(models.Model):
    """A person read the free text of one column of one row, and found that it may go out with one request."""

    records_request = models.ForeignKey(RecordsRequest, models.PROTECT, related_name="released")
    kind = models.CharField(max_length=30)
    row = models.PositiveBigIntegerField()
    column = models.CharField(max_length=60)
    released_at = models.DateTimeField()
    released_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = ReleasedWordsQuerySet.as_manager()

    class Meta:
        ordering = ["kind", "row", "column"]
        constraints = [
            models.UniqueConstraint(
                fields=["records_request", "kind", "row", "column"],
                name="released_words_once",
                violation_error_message=_("These words are released already."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.row} {self.column}"


class Disclosure(models.Model):
    """One set of files made for a request: what is in it, what was withheld and why, with digests. Append-only."""

    records_request = models.ForeignKey(RecordsRequest, models.PROTECT, related_name="disclosures")
    # Names the piece of work, so that a worker that begins again makes it once.
    key = models.UUIDField(unique=True)
    made_at = models.DateTimeField()
    made_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")
    rows = models.PositiveIntegerField()
    # One entry a file: name, title, rows, values withheld by column, sha256.
    contents = models.JSONField()
    # The rules by which it was made, as they stood.
    rules = models.JSONField()
    stored_as = models.CharField(max_length=200)
    byte_count = models.PositiveBigIntegerField()
    sha256 = models.CharField(max_length=64)

    class Meta:
        ordering = ["-made_at", "-id"]

    def __str__(self) -> str:
        return f"{self.records_request} {self.made_at:%Y-%m-%d}"

    @property
    def withheld(self) -> int:
        """How many values are blacked out."""
        return sum(one["values"] for file in self.contents for one in file["withheld"])


class HandoverQuerySet(models.QuerySet["Handover"]):
    def newest_first(self) -> "HandoverQuerySet":
        return self.order_by("-handed_over_on", "-pk").select_related(
            "disclosure__records_request", "entered_by"
        )


class Handover(models.Model):
    """A disclosure went to someone: to whom, when, by which way, and the digest of what went. Append-only."""

    class How(models.TextChoices):
        IN_PERSON = "in_person", _("in person")
        E_MAIL = "e_mail", _("e-mail")
        POST = "post", _("post")
        WEBSITE = "website", _("the site of the city")

    disclosure = models.ForeignKey(Disclosure, models.PROTECT, related_name="handovers")
    to_whom = models.CharField(_("to whom"), max_length=200)
    how = models.CharField(_("how"), max_length=10, choices=How.choices)
    handed_over_on = models.DateField(_("on"))
    sha256 = models.CharField(max_length=64)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, related_name="+")

    objects = HandoverQuerySet.as_manager()

    class Meta:
        ordering = ["-handed_over_on", "-id"]
        constraints = [
            models.CheckConstraint(
                condition=~Q(to_whom=""),
                name="handover_is_to_someone",
                violation_error_message=_("Say to whom it went."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.disclosure} {self.handed_over_on}"
