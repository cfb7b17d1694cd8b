"""Lines of a budget: adding and correcting them, within what the source gives."""

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Sum
from django.utils.translation import gettext as _

from outreach.funding.models import BudgetLine, FundingSource
from outreach.funding.spending import in_dollars
from outreach.staff import audit


@transaction.atomic
def write_line(*, line: BudgetLine, reason: str = "") -> BudgetLine:
    """Write a new or corrected line; all lines together stay within the amount of the source."""
    source = FundingSource.objects.select_for_update(of=("self",)).get(pk=line.source_id)
    line.full_clean()
    others = BudgetLine.objects.of(source).exclude(pk=line.pk).aggregate(n=Sum("amount_cents"))["n"] or 0
    over = others + line.amount_cents - source.amount_cents
    if over > 0:
        sentence = _("With this line the budget is %(over)s more than the %(amount)s that the source gives.")
        facts = {"over": in_dollars(over), "amount": in_dollars(source.amount_cents)}
        raise ValidationError({"amount_cents": sentence % facts})
    with audit.because(reason):
        line.save()
    return line
