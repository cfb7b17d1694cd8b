"""Kinds of bins, orders for them, and where they lie: a ledger of movements with its balances."""

import uuid
from datetime import date

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Coalesce
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from outreach.funding.models import FundingSource
from outreach.staff.constraints import not_before
from outreach.staff.models import StaffMember


class BinModelQuerySet(models.QuerySet["BinModel"]):
    def named(self, name_key: str) -> "BinModelQuerySet":
        return self.filter(name_key=name_key)

    def of_known_size(self) -> "BinModelQuerySet":
        """Confirmed by a person, with litres: sizes that residents may be told."""
        return self.filter(confirmed_at__isnull=False, litres__gte=20).exclude(family=BinModel.Family.NONE)

    def to_confirm(self) -> "BinModelQuerySet":
        """Models met in paperwork whose family and litres nobody has looked at."""
        return self.filter(confirmed_at__isnull=True)


class BinModel(models.Model):
    """A kind of bin."""

    class Family(models.TextChoices):
        MESH = "mesh", _("mesh")
        RIGID = "rigid", _("rigid")
        TUMBLER = "tumbler", _("tumbler")
        LIDDED_CAN = "lidded_can", _("lidded can")
        WIRE_HOOP = "wire_hoop", _("wire hoop")
        TIMBER = "timber", _("timber")
        WORM_BOX = "worm_box", _("worm box")
        NONE = "none", _("none")

    name = models.CharField(_("name"), max_length=120)
    name_key = models.CharField(max_length=120, unique=True, editable=False)
    family = models.CharField(_("family"), max_length=12, choices=Family.choices)
    litres = models.PositiveIntegerField(_("litres"), null=True, blank=True)
    has_floor = models.BooleanField(_("has a floor"), default=False)
    unit_cost_cents = models.PositiveIntegerField(_("usual unit cost, cents"), null=True, blank=True)
    copay_cents = models.PositiveIntegerField(_("resident's co-pay, cents"), default=0)
    # A model first met in paperwork waits for a person to confirm family and litres.
    confirmed_at = models.DateTimeField(null=True, blank=True, editable=False)
    confirmed_by = models.ForeignKey(
        StaffMember, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    objects = BinModelQuerySet.as_manager()

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


class StockPlaceQuerySet(models.QuerySet["StockPlace"]):
    def stores(self) -> "StockPlaceQuerySet":
        """Places where bins lie and are counted."""
        return self.filter(kind=StockPlace.Kind.STORE)

    def fullest_first(self) -> "StockPlaceQuerySet":
        """Where most bins lie, of all models together."""
        return self.annotate(bins=Coalesce(models.Sum("balances__on_hand"), 0)).order_by("-bins", "pk")

    def for_returns(self) -> "StockPlaceQuerySet":
        """Where a bin that came back may go: a store or scrap."""
        return self.filter(kind__in=(StockPlace.Kind.STORE, StockPlace.Kind.SCRAP)).order_by("-kind", "name")

    def end(self, kind: str) -> "StockPlace":
        """The one place of a kind at the ledger's ends, made when first needed."""
        label = str(StockPlace.Kind(kind).label).capitalize()
        return self.get_or_create(kind=kind, defaults={"name": label})[0]


class StockPlace(models.Model):
    """A store, table or van where bins lie; also the suppliers, households and scrap at the ledger's ends."""

    class Kind(models.TextChoices):
        STORE = "store", _("store")
        SUPPLIERS = "suppliers", _("suppliers")
        HOUSEHOLDS = "households", _("households")
        SCRAP = "scrap", _("scrap")
        COUNT = "count", _("count differences")

    name = models.CharField(_("name"), max_length=120, unique=True)
    kind = models.CharField(max_length=12, choices=Kind.choices, default=Kind.STORE)

    objects = StockPlaceQuerySet.as_manager()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["kind"],
                condition=~Q(kind="store"),
                name="stock_place_one_of_each_end",
                violation_error_message=_("The ledger has just one place of this kind."),
            ),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def has_balance(self) -> bool:
        return self.kind == self.Kind.STORE


class BinOrderQuerySet(models.QuerySet["BinOrder"]):
    def standing(self) -> "BinOrderQuerySet":
        return self.filter(cancelled_on__isnull=True)

    def with_received(self) -> "BinOrderQuerySet":
        """Each with `received`, the bins that its receipts brought."""
        return self.annotate(received=Coalesce(models.Sum("receipts__quantity"), 0))  # type: ignore[no-redef]

    def outstanding(self) -> "BinOrderQuerySet":
        """Orders of which bins are still to come."""
        return self.standing().with_received().filter(received__lt=F("quantity"))  # type: ignore[misc]


class BinOrder(models.Model):
    """So many of a bin model ordered from a supplier; receipts point at it."""

    bin_model = models.ForeignKey(BinModel, models.PROTECT, related_name="orders")
    supplier = models.CharField(_("supplier"), max_length=120)
    reference = models.CharField(_("order number"), max_length=60, blank=True)
    quantity = models.PositiveIntegerField(_("quantity"))
    unit_price_cents = models.PositiveIntegerField(_("unit price, cents"), null=True, blank=True)
    funding_source = models.ForeignKey(
        FundingSource,
        models.PROTECT,
        null=True,
        blank=True,
        related_name="+",
        verbose_name=_("funding source"),
    )
    ordered_on = models.DateField(_("ordered on"))
    due_on = models.DateField(_("due on"))
    cancelled_on = models.DateField(_("cancelled on"), null=True, blank=True)
    note = models.CharField(_("note"), max_length=300, blank=True)

    objects = BinOrderQuerySet.as_manager()
    # Known of orders that were read `with_received`.
    received: int

    class Meta:
        ordering = ["due_on"]
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gt=0),
                name="order_of_at_least_one",
                violation_error_message=_("Order at least one bin."),
            ),
            not_before(
                "due_on",
                "ordered_on",
                name="order_due_after_ordered",
                sentence=_("Due before it was ordered?"),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.bin_model}, due {date_format(self.due_on, 'j F Y')}"

    @property
    def to_come(self) -> int:
        """Bins not received yet; only of an order that was read `with_received`."""
        return max(0, self.quantity - self.received)


class StockMovementQuerySet(models.QuerySet["StockMovement"]):
    def with_details(self) -> "StockMovementQuerySet":
        return self.select_related("bin_model", "from_place", "to_place", "order", "entered_by")

    def touching(self, place: StockPlace) -> "StockMovementQuerySet":
        return self.filter(Q(from_place=place) | Q(to_place=place))

    def of_lot(self, lot: str) -> "StockMovementQuerySet":
        return self.filter(lot__iexact=lot)

    def moved_between(self, first_day: date, last_day: date) -> "StockMovementQuerySet":
        return self.filter(moved_on__range=(first_day, last_day))


class StockMovement(models.Model):
    """So many of a bin model from one place to another, and why. Append-only."""

    class Why(models.TextChoices):
        RECEIVED = "received", _("received")
        MOVED = "moved", _("moved")
        HANDED_OUT = "handed_out", _("handed out")
        TAKEN_BACK = "taken_back", _("taken back")
        COUNTED = "counted", _("counted")
        WRITTEN_OFF = "written_off", _("written off")
        VOIDED = "voided", _("handout voided")

    event_id = models.UUIDField(unique=True, default=uuid.uuid4)
    bin_model = models.ForeignKey(BinModel, models.PROTECT, related_name="movements")
    quantity = models.PositiveIntegerField(_("quantity"))
    from_place = models.ForeignKey(StockPlace, models.PROTECT, related_name="+")
    to_place = models.ForeignKey(StockPlace, models.PROTECT, related_name="+")
    why = models.CharField(_("why"), max_length=12, choices=Why.choices)
    lot = models.CharField(_("lot"), max_length=60, blank=True, db_index=True)
    order = models.ForeignKey(BinOrder, models.PROTECT, null=True, blank=True, related_name="receipts")
    handout = models.ForeignKey(
        "bins.Handout", models.PROTECT, null=True, blank=True, related_name="movements"
    )
    moved_on = models.DateField(_("moved on"))
    note = models.CharField(_("note"), max_length=300, blank=True)
    entered_at = models.DateTimeField()
    entered_by = models.ForeignKey(StaffMember, models.PROTECT, null=True, blank=True, related_name="+")

    objects = StockMovementQuerySet.as_manager()

    class Meta:
        ordering = ["-moved_on", "-id"]
        indexes = [models.Index(fields=["from_place", "bin_model", "moved_on"], name="movement_out_of")]
        constraints = [
            models.CheckConstraint(
                condition=Q(quantity__gt=0),
                name="movement_of_at_least_one",
                violation_error_message=_("Move at least one bin."),
            ),
            models.CheckConstraint(
                condition=~Q(from_place=F("to_place")),
                name="movement_between_two_places",
                violation_error_message=_("Bins move from one place to another. Choose two places."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.bin_model} {self.why}"


class StockBalanceQuerySet(models.QuerySet["StockBalance"]):
    def with_bins(self) -> "StockBalanceQuerySet":
        return self.filter(on_hand__gt=0).order_by("bin_model__name", "place__name")


class StockBalance(models.Model):
    """How many of a bin model lie at a place, kept with the movements."""

    place = models.ForeignKey(StockPlace, models.PROTECT, related_name="balances")
    bin_model = models.ForeignKey(BinModel, models.PROTECT, related_name="balances")
    on_hand = models.IntegerField(default=0)
    # By how much exceptions ('the count was wrong') let it go below zero.
    excused = models.PositiveIntegerField(default=0)

    objects = StockBalanceQuerySet.as_manager()

    class Meta:
        ordering = ["place", "bin_model"]
        constraints = [
            models.UniqueConstraint(
                fields=["place", "bin_model"],
                name="balance_once",
                violation_error_message=_("The ledger keeps one balance for a bin model at a place."),
            ),
            models.CheckConstraint(
                condition=Q(on_hand__gte=-F("excused")),
                name="balance_not_below_zero",
                violation_error_message=_(
                    "The ledger has none of these left there. Count the shelf, or give the reason as an "
                    "exception."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.on_hand} {self.bin_model} at {self.place}"

    def change_by(self, quantity: int) -> None:
        """So many more, or fewer; `excused` is always just what the shelf is short of."""
        self.on_hand += quantity
        self.excused = max(0, -self.on_hand)
