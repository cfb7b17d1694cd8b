"""The demo's money: two funding sources, the bins that they bought, some costs and some unpaid hours."""

from datetime import date, datetime
from typing import Any

from django.db import transaction
from django.utils import timezone

from outreach.bins import ledger, ordering
from outreach.bins.models import BinModel, BinOrder, StockPlace
from outreach.bins.naming import bin_model_key
from outreach.funding import budgeting, giving, spending
from outreach.funding.models import BudgetLine, Cost, FundingSource, HourRate, Hours
from outreach.site.demo import scenario
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

YARD = "Corporation yard"


@transaction.atomic
def set_up(*, by: StaffMember, at: datetime) -> None:
    """Sources, budgets and the bins that came, before the paperwork, which tells of the same deliveries."""
    plan = scenario.set_up()
    for one in plan["source"]:
        source = FundingSource(**{name: value for name, value in one.items() if name != "lines"})
        source.full_clean()
        source.save()
        for kind, cents in one["lines"].items():
            budgeting.write_line(line=BudgetLine(source=source, kind=kind, amount_cents=cents))
    giving.add_rate(rate=HourRate(**plan["rate"]), by=by, at=at)
    yard = StockPlace.objects.create(name=YARD)
    for one in plan["delivery"]:
        _receive(one, yard, by=by, at=at)


def _receive(one: dict[str, Any], yard: StockPlace, *, by: StaffMember, at: datetime) -> None:
    order = BinOrder(
        bin_model=_model(one, by=by, at=at),
        supplier=one["supplier"],
        reference=one["reference"],
        quantity=one["quantity"],
        unit_price_cents=one["unit_price_cents"],
        funding_source=FundingSource.objects.get(name=one["paid_by"]),
        ordered_on=one["ordered_on"],
        due_on=one["received_on"],
    )
    order.full_clean()
    order.save()
    ledger.receive(
        bin_model=order.bin_model,
        order=order,
        quantity=order.quantity,
        to_place=yard,
        received_on=one["received_on"],
        lot=one["lot"],
        by=by,
        at=at,
    )


def _model(one: dict[str, Any], *, by: StaffMember, at: datetime) -> BinModel:
    key = bin_model_key(one["bin_model"])
    known = BinModel.objects.named(key).first()
    if known is not None:
        return known
    made = BinModel(name=one["bin_model"], name_key=key, family=one["family"], litres=one["litres"])
    return ordering.confirm_model(bin_model=made, by=by, at=at)


@transaction.atomic
def spend(*, by: StaffMember, at: datetime) -> None:
    """Costs and hours until today, once the workshops of the paperwork are there."""
    plan, today = scenario.set_up(), timezone.localdate(at)
    for one in plan["cost"]:
        if one["spent_on"] <= today:
            _spend(one, by=by, at=at)
    for one in plan["hours"]:
        if one["given_on"] <= today:
            _give(one, by=by, at=at)


def _spend(one: dict[str, Any], *, by: StaffMember, at: datetime) -> None:
    shares = {
        BudgetLine.objects.get(source__name=source, kind=kind): cents
        for source, lines in one["pays"].items()
        for kind, cents in lines.items()
    }
    cost = Cost(
        spent_on=one["spent_on"],
        amount_cents=sum(shares.values()),
        what_for=one["what_for"],
        paperwork=one["paperwork"],
        workshop=_workshop(one, one["spent_on"]),
    )
    spending.record_cost(cost=cost, shares=shares, by=by, at=at)


def _give(one: dict[str, Any], *, by: StaffMember, at: datetime) -> None:
    hours = Hours(
        given_on=one["given_on"],
        minutes=one["minutes"],
        doing=one["doing"],
        volunteer=one.get("volunteer", ""),
        workshop=_workshop(one, one["given_on"]),
    )
    shares = {FundingSource.objects.get(name=name): minutes for name, minutes in one["match_for"].items()}
    giving.record_hours(hours=hours, shares=shares, by=by, at=at)


def _workshop(one: dict[str, Any], on: date) -> Workshop | None:
    """The workshop of that day, where it was for one."""
    return Workshop.objects.held_between(on, on).first() if one.get("at_workshop") else None
