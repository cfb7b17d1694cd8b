"""What devices say happened at the Door, kept as they said it, and what became of each."""

import uuid
from collections.abc import Collection, Iterable

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from outreach.bins.models import Handout
from outreach.door.models.devices import Device
from outreach.households.models import Participant
from outreach.staff.constraints import both_or_neither
from outreach.staff.models import StaffMember
from outreach.workshops.models import Registration, Workshop

ARRIVALS = ("arrived", "walked_in")


class DoorEventQuerySet(models.QuerySet["DoorEvent"]):
    def about(self, numbers: Collection[uuid.UUID]) -> "DoorEventQuerySet":
        """These events, and others by which the same walk-ins were meant."""
        walked_in = DoorEvent.objects.filter(pk__in=numbers, person__isnull=False)
        people = list(walked_in.values_list("person", flat=True))
        return self.filter(Q(pk__in=numbers) | Q(person__in=people))

    def at(self, workshop: Workshop) -> "DoorEventQuerySet":
        """Sent by the devices of a workshop."""
        return self.filter(device__workshop=workshop)

    def in_order(self) -> "DoorEventQuerySet":
        """As they happened by corrected clocks; what has no readable time comes last."""
        return self.order_by(models.F("corrected_at").asc(nulls_last=True), "pk")

    def not_applied(self) -> "DoorEventQuerySet":
        return self.filter(outcome__isnull=True)

    def numbered(self, ids: Iterable[uuid.UUID]) -> "DoorEventQuerySet":
        return self.filter(pk__in=list(ids))

    def naming_as_undone(self, event_ids: Iterable[uuid.UUID]) -> "DoorEventQuerySet":
        """Whatever names one of these events as undone, in force or not."""
        return self.filter(undoes__in=list(event_ids)).order_by()

    def that_undo(self, event_ids: Iterable[uuid.UUID], workshop_id: int) -> "DoorEventQuerySet":
        """Undos in force of these events of one workshop."""
        undos = self.filter(kind="undone", undoes__in=list(event_ids), device__workshop=workshop_id)
        return undos.filter(outcome__state=EventOutcome.State.APPLIED)


class DoorEvent(models.Model):
    """One thing that a device says happened at the Door, exactly as it was sent. Append-only.

    The columns after `body` are read out of it for looking up; where it is broken they are empty.
    """

    id = models.UUIDField(primary_key=True, editable=False)
    device = models.ForeignKey(Device, models.PROTECT, related_name="events")
    # Counts up on the device; empty where the device gave a number twice or none.
    seq = models.BigIntegerField(null=True, blank=True)
    schema = models.IntegerField(default=0)
    kind = models.CharField(max_length=40, blank=True)
    # As the event has it; the device was let in to `device.workshop`.
    workshop_number = models.BigIntegerField(null=True, blank=True)
    happened_at = models.DateTimeField(null=True, blank=True)
    offset_ms = models.BigIntegerField(default=0)
    corrected_at = models.DateTimeField(null=True, blank=True)
    by_name = models.CharField(max_length=200, blank=True)
    body = models.JSONField(default=dict)
    person = models.UUIDField(null=True, blank=True)
    undoes = models.UUIDField(null=True, blank=True)
    received_at = models.DateTimeField()

    objects = DoorEventQuerySet.as_manager()
    outcome: "EventOutcome"

    class Meta:
        ordering = ["received_at", "pk"]
        indexes = [
            models.Index(fields=["person"], name="door_event_by_person"),
            models.Index(fields=["undoes"], name="door_event_by_undone"),
        ]
        constraints = [
            models.UniqueConstraint(
                fields=["device", "seq"],
                condition=Q(seq__isnull=False),
                name="door_event_numbered_once",
                violation_error_message=_("This device has already sent an event of that number."),
            ),
            both_or_neither(
                "happened_at",
                "corrected_at",
                name="door_event_time_is_corrected",
                sentence=_("A time by the device's clock has one by ours, and the other way round."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.pk}"


class EventOutcomeQuerySet(models.QuerySet["EventOutcome"]):
    def about(self, people: Collection[int]) -> "EventOutcomeQuerySet":
        """What became of events about these people."""
        theirs = Q(participant__in=people) | Q(registration__participant__in=people)
        return self.filter(theirs)

    def at(self, workshop: Workshop) -> "EventOutcomeQuerySet":
        return self.filter(event__device__workshop=workshop)

    def held(self) -> "EventOutcomeQuerySet":
        """Those that wait for the coordinator, or for something that does."""
        return self.filter(state__in=(EventOutcome.State.HELD, EventOutcome.State.WAITING))

    def set_aside(self) -> "EventOutcomeQuerySet":
        return self.filter(state=EventOutcome.State.SET_ASIDE)

    def read(self) -> "EventOutcomeQuerySet":
        """Those that were understood and say something of the record, undone ones too."""
        return self.filter(state__in=EventOutcome.READ)

    def of_kinds(self, *kinds: str) -> "EventOutcomeQuerySet":
        return self.filter(event__kind__in=kinds)

    def of_person(self, participant: Participant) -> "EventOutcomeQuerySet":
        return self.filter(participant=participant)

    def of_place(self, registration: Registration | int) -> "EventOutcomeQuerySet":
        """What the Door says of a place on a list: arrivals, undone ones too."""
        return self.filter(registration=registration).order_by()

    def of_people(self, participants: object) -> "EventOutcomeQuerySet":
        return self.filter(participant__in=participants)

    def in_order(self) -> "EventOutcomeQuerySet":
        return self.order_by("event__corrected_at", "event_id")

    def with_events(self) -> "EventOutcomeQuerySet":
        return self.select_related(
            "event__device__staff_member",
            "event__device__door_pass__made_by",
            "event__device__workshop",
            "handout__exception",
            "participant",
        )

    def that_count(self) -> "EventOutcomeQuerySet":
        """Those whose fact stands."""
        return self.filter(state__in=(EventOutcome.State.APPLIED, EventOutcome.State.KNOWN))

    def walked_in_as(self, persons: Iterable[uuid.UUID]) -> "EventOutcomeQuerySet":
        return self.filter(event__kind="walked_in", event__person__in=list(persons))

    def waiting_for(self, person: uuid.UUID) -> "EventOutcomeQuerySet":
        return self.filter(event__person=person, state=EventOutcome.State.WAITING)


class EventOutcome(models.Model):
    """What became of one event of the Door, and which records it speaks of."""

    class State(models.TextChoices):
        APPLIED = "applied", _("on record")
        KNOWN = "known", _("was on record already")
        UNDONE = "undone", _("undone at the Door")
        WAITING = "waiting", _("waits for the walk-in it is about")
        HELD = "held", _("waits for the office")
        SET_ASIDE = "set_aside", _("set aside by the office")

    READ = ("applied", "known", "undone")

    event = models.OneToOneField(DoorEvent, models.PROTECT, primary_key=True, related_name="outcome")
    state = models.CharField(_("state"), max_length=10, choices=State.choices)
    # Why it waits, as the office reads it.
    words = models.CharField(max_length=400, blank=True)
    participant = models.ForeignKey(Participant, models.PROTECT, null=True, blank=True, related_name="+")
    registration = models.ForeignKey(Registration, models.PROTECT, null=True, blank=True, related_name="+")
    handout = models.ForeignKey(Handout, models.PROTECT, null=True, blank=True, related_name="+")
    # People on no list, where this event is the one that counts them: who came along, or a crowd.
    beyond = models.PositiveIntegerField(default=0)
    made_household = models.BooleanField(default=False)
    made_person = models.BooleanField(default=False)
    # What was blank in the person's record and is filled in from the Door.
    filled = models.JSONField(default=list, blank=True)
    # How the place on the list stood before the Door changed it, to be set back when the arrival is undone.
    before = models.JSONField(null=True, blank=True)
    # What the office put right of a walk-in that could not be read.
    corrections = models.JSONField(default=dict, blank=True)
    noted_at = models.DateTimeField()
    # Released or set aside by a person.
    ruled_at = models.DateTimeField(null=True, blank=True)
    ruled_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField(_("reason"), max_length=300, blank=True)

    objects = EventOutcomeQuerySet.as_manager()

    class Meta:
        ordering = ["event"]
        indexes = [models.Index(fields=["state"], name="event_outcome_by_state")]
        constraints = [
            both_or_neither(
                "ruled_at", "ruled_by", name="outcome_ruled_by_someone", sentence=_("Say who ruled on it.")
            ),
            models.CheckConstraint(
                condition=~Q(state="set_aside") | (Q(ruled_at__isnull=False) & ~Q(reason="")),
                name="outcome_set_aside_says_why",
                violation_error_message=_("Say why it is set aside."),
            ),
            models.CheckConstraint(
                condition=~Q(state__in=("held", "waiting")) | ~Q(words=""),
                name="outcome_held_says_why",
                violation_error_message=_("What waits says what for."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.event_id}: {self.state}"

    @property
    def is_released(self) -> bool:
        """A person looked at it and let it in."""
        return self.ruled_at is not None and self.state != self.State.SET_ASIDE
