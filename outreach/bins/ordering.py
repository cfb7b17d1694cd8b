"""Ordering bins, correcting an order, cancelling what is still to come; confirming a model from paperwork."""

from datetime import date, datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from outreach.bins import provenance
from outreach.bins.models import BinModel, BinOrder
from outreach.staff import audit
from outreach.staff.models import StaffMember


@transaction.atomic
def correct_order(*, order: BinOrder) -> BinOrder:
    """Write a corrected order; what its receipts brought cannot be ordered away."""
    before = BinOrder.objects.with_received().get(pk=order.pk)
    if before.received and before.bin_model_id != order.bin_model_id:
        raise ValidationError({"bin_model": _("Bins of this order have come; its model stays as it is.")})
    if order.quantity < before.received:
        sentence = ngettext(
            "%(count)d bin of this order has come already. Order at least as many.",
            "%(count)d bins of this order have come already. Order at least as many.",
            before.received,
        )
        raise ValidationError({"quantity": sentence % {"count": before.received}})
    order.full_clean()
    order.save()
    if before.funding_source_id != order.funding_source_id:
        provenance.paid_differently(order)
    return order


@transaction.atomic
def cancel_order(*, order: BinOrder, reason: str, on: date) -> BinOrder:
    """What has not come yet is no longer expected; receipts stay."""
    order = BinOrder.objects.select_for_update(of=("self",)).get(pk=order.pk)
    if order.cancelled_on is not None:
        raise ValidationError(_("This order was already cancelled."))
    order.cancelled_on = on
    order.full_clean()
    with audit.because(reason):
        order.save(update_fields=["cancelled_on"])
    return order


def confirm_model(*, bin_model: BinModel, by: StaffMember, at: datetime) -> BinModel:
    """A person has looked at the family and litres of a model met in paperwork."""
    bin_model.confirmed_at, bin_model.confirmed_by = at, by
    bin_model.full_clean()
    bin_model.save()
    return bin_model
