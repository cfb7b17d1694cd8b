"""The records of a filing's period as rows for its workbook; nothing that names a person or an address.

What was entered after the filing, or voided since, is among them and marked, so that the filing's own counts can
still be worked out.
"""

from collections.abc import Iterator
from datetime import datetime
from typing import Any

from django.db.models import BooleanField, Case, Count, Exists, OuterRef, Q, QuerySet, Value, When

from outreach.bins import source_figures
from outreach.bins.models import BinModel, Handout, StockMovement
from outreach.filings.models import Filing
from outreach.funding.models import BudgetLine, CostShare
from outreach.workshops.models import Registration, Workshop

ROWS_AT_ONCE = 2_000
FAMILIES = {code: str(words) for code, words in BinModel.Family.choices}
KINDS_OF_COST = {code: str(words) for code, words in BudgetLine.Kind.choices}


def handouts(filing: Filing) -> "QuerySet[Handout]":
    """Those of its days and places, a household's beside each other."""
    rows = Handout.objects.handed_between(filing.first_day_on, filing.last_day_on)
    if filing.jurisdiction:
        rows = rows.in_area_of(filing.jurisdiction)
    return rows.exclude(voided_at__lte=filing.submitted_at).order_by("counted_under", "handed_on", "pk")


def handout_rows(filing: Filing) -> Iterator[list[Any]]:
    back = StockMovement.objects.filter(
        handout=OuterRef("pk"), why=StockMovement.Why.TAKEN_BACK, to_place__kind="store"
    )
    rows = handouts(filing).annotate(price=source_figures.PRICE, came_back=Exists(back), **_marks(filing))
    names = ("pk", "counted_under", "handed_on", "workshop", "bin_model__name", "lot", "copay_cents", "price")
    for row in rows.values("bin_model__family", *names, "came_back", "is_late", "is_voided").iterator(
        chunk_size=ROWS_AT_ONCE
    ):
        yield [
            *(row[name] for name in names),
            FAMILIES[row["bin_model__family"]],
            *(int(row[name]) for name in ("came_back", "is_late", "is_voided")),
        ]


def workshop_rows(filing: Filing) -> Iterator[list[Any]]:
    """Those that were not cancelled, with how many came to each."""
    rows = Workshop.objects.held_between(filing.first_day_on, filing.last_day_on)
    if filing.jurisdiction:
        rows = rows.of_jurisdiction(filing.jurisdiction)
    came = Count("registrations", filter=Q(registrations__state__in=Registration.CAME))
    names = ("pk", "held_on", "venue__name", "jurisdiction__name", "kind", "state", "language", "seats")
    rest = ("booked_people", "bins_planned", "people_unlisted", "came")
    for row in rows.with_unlisted().annotate(came=came).order_by("held_on", "pk").values_list(*names, *rest):
        yield list(row)


def stock_rows(filing: Filing) -> Iterator[list[Any]]:
    """Of the whole programme: a shelf belongs to no jurisdiction."""
    rows = StockMovement.objects.moved_between(filing.first_day_on, filing.last_day_on)
    names = ("pk", "moved_on", "bin_model__name", "bin_model__family", "quantity")
    places = ("from_place__name", "to_place__name", "why", "lot")
    for row in rows.order_by("moved_on", "pk").values_list(*names, *places).iterator(chunk_size=ROWS_AT_ONCE):
        number, on, name, family, *rest = row
        yield [number, on, name, FAMILIES[family], *rest]


def cost_rows(filing: Filing) -> Iterator[list[Any]]:
    """A row a part that one budget line pays."""
    days = (filing.first_day_on, filing.last_day_on)
    rows = CostShare.objects.filter(cost__spent_on__range=days)
    if filing.jurisdiction:
        rows = rows.filter(cost__workshop__jurisdiction=filing.jurisdiction)
    rows = rows.exclude(cost__voided_at__lte=filing.submitted_at).annotate(**_marks(filing, "cost__"))
    names = ("cost", "cost__spent_on", "cost__what_for", "cost__workshop", "budget_line__source__name")
    amounts = ("cents", "cost__amount_cents")
    for row in rows.order_by("cost__spent_on", "cost", "pk").values(
        "budget_line__kind", *names, *amounts, "is_late", "is_voided"
    ):
        kind = KINDS_OF_COST[row["budget_line__kind"]]
        marks = (int(row[name]) for name in ("is_late", "is_voided"))
        yield [*(row[name] for name in names), kind, *(row[name] for name in amounts), *marks]


def _marks(filing: Filing, of: str = "") -> dict[str, Any]:
    """Whether a row was entered after the filing, and whether it was voided since."""
    return {
        "is_late": _whether(f"{of}entered_at__gt", filing.submitted_at),
        "is_voided": _whether(f"{of}voided_at__gt", filing.submitted_at),
    }


def _whether(lookup: str, at: datetime) -> Case:
    return Case(When(**{lookup: at}, then=Value(True)), default=Value(False), output_field=BooleanField())
