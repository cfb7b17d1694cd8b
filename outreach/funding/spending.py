"""Recording what was spent and who pays it, correcting it, taking it back."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.formats import date_format, number_format
from django.utils.translation import gettext as _

from outreach.funding import sharing
from outreach.funding.models import BudgetLine, Cost, CostShare, FundingSource
from outreach.staff import audit
from outreach.staff.models import StaffMember
from outreach.workshops.models import Workshop

Shares = Mapping[BudgetLine, int]


@transaction.atomic
def record_cost(*, cost: Cost, shares: Shares, by: StaffMember, at: datetime) -> Cost:
    """Record a new cost with the cents that each budget line pays of it."""
    cost.entered_by, cost.entered_at = by, at
    _write(cost, shares, at)
    return cost


@transaction.atomic
def correct_cost(*, cost: Cost, shares: Shares, reason: str, at: datetime) -> Cost:
    """Write a corrected cost and its shares; the trail keeps what it said before, and why."""
    _still_standing(cost)
    with audit.because(reason):
        _write(cost, shares, at)
    return cost


@transaction.atomic
def void_cost(*, cost: Cost, reason: str, by: StaffMember, at: datetime) -> Cost:
    """Say that a cost is not one: it stays on record and counts nowhere."""
    cost = _still_standing(cost)
    cost.voided_at, cost.voided_by, cost.void_reason = at, by, reason.strip()
    cost.full_clean()
    cost.save(update_fields=["voided_at", "voided_by", "void_reason"])
    return cost


def _still_standing(cost: Cost) -> Cost:
    locked = Cost.objects.select_for_update(of=("self",)).get(pk=cost.pk)
    if locked.voided_at is not None:
        raise ValidationError(_("This cost was voided. Record it anew where it was one after all."))
    return locked


def _write(cost: Cost, shares: Shares, at: datetime) -> None:
    if cost.spent_on > timezone.localdate(at):
        raise ValidationError(
            {"spent_on": _("The day is still to come. Record a cost when it has been spent.")}
        )
    cost.full_clean()
    by_line = dict(shares)
    sharing.parted(cost.amount_cents, list(by_line.items()), in_dollars)
    for line in by_line:
        refuse_elsewhere(line.source, on=cost.spent_on, workshop=cost.workshop)
    sharing.rewrite(
        known=CostShare.objects.filter(cost=cost) if cost.pk else (),
        wanted={line.pk: cents for line, cents in by_line.items()},
        key="budget_line_id",
        amount="cents",
        new=lambda line_id, cents: CostShare(cost=cost, budget_line_id=line_id, cents=cents),
        save_whole=cost.save,
    )


def refuse_elsewhere(source: FundingSource, *, on: date, workshop: Workshop | None) -> None:
    """A source pays within its days, and for workshops where it may serve."""
    facts = {"source": source, "from": date_format(source.starts_on, "j F Y")}
    if not source.pays_on(on):
        if source.ends_on is None:
            raise ValidationError(_("%(source)s pays from %(from)s on. Choose another source.") % facts)
        facts["to"] = date_format(source.ends_on, "j F Y")
        raise ValidationError(_("%(source)s pays from %(from)s to %(to)s. Choose another source.") % facts)
    if workshop is not None and not source.may_pay_in(workshop.jurisdiction_id):
        sentence = _("%(source)s may serve %(areas)s only; the workshop was held in %(place)s.")
        facts |= {"areas": ", ".join(source.serves), "place": workshop.jurisdiction}
        raise ValidationError(sentence % facts)


def in_dollars(cents: int) -> str:
    return f"${number_format(Decimal(cents) / 100, decimal_pos=2, force_grouping=True)}"
