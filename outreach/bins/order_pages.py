"""Orders: adding, correcting and cancelling one, and what it has brought so far."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins import ordering
from outreach.bins.admission import is_one_of
from outreach.bins.form_page import FormPage
from outreach.bins.forms import OrderForm, ReasonForm
from outreach.bins.models import BinOrder
from outreach.bins.refusals import succeeds
from outreach.staff import audit
from outreach.staff.roles import EVERYONE, OFFICE, READERS, TRAIL_READERS, may


@require_GET
@may(*EVERYONE)
def orders(request: HttpRequest) -> HttpResponse:
    listed = BinOrder.objects.with_received().select_related("bin_model").order_by("-ordered_on", "-pk")
    may_order = is_one_of(request, OFFICE)
    context = {"orders": listed, "may_order": may_order, "today": timezone.localdate()}
    return render(request, "bins/orders.html", context)


@require_GET
@may(*EVERYONE)
def order(request: HttpRequest, order_id: int) -> HttpResponse:
    shown = get_object_or_404(
        BinOrder.objects.with_received().select_related("bin_model", "funding_source"), pk=order_id
    )
    sees_trail = is_one_of(request, TRAIL_READERS)
    context = {
        "order": shown,
        "receipts": shown.receipts.with_details(),
        "may_order": is_one_of(request, OFFICE),
        "may_read": is_one_of(request, READERS),
        "today": timezone.localdate(),
        "sees_trail": sees_trail,
        "entries": audit.entries_of(shown) if sees_trail else [],
    }
    return render(request, "bins/order.html", context)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def order_add(request: HttpRequest) -> HttpResponse:
    form = OrderForm(request.POST or None, initial={"ordered_on": timezone.localdate()})
    if form.is_valid():
        added = form.save()
        messages.success(request, _("Ordered: %(order)s.") % {"order": added})
        return redirect("order", added.pk)
    page = FormPage(
        heading=_("Order bins"),
        button=_("Add the order"),
        back_url=reverse("orders"),
        trail=((_("Orders"), reverse("orders")),),
        about=_("The order itself is placed with the supplier; here it counts as stock to come."),
    )
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def order_edit(request: HttpRequest, order_id: int) -> HttpResponse:
    shown = get_object_or_404(BinOrder.objects.select_related("bin_model"), pk=order_id)
    words, url = str(shown), reverse("order", args=[order_id])
    form = OrderForm(request.POST or None, instance=shown)
    if form.is_valid() and succeeds(form, lambda: ordering.correct_order(order=form.instance)):
        messages.success(request, _("The order is corrected."))
        return redirect(url)
    page = FormPage(heading=_("Correct this order"), button=_("Save"), back_url=url, trail=((words, url),))
    return page.answer(request, form)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def order_cancel(request: HttpRequest, order_id: int) -> HttpResponse:
    shown = get_object_or_404(BinOrder.objects.select_related("bin_model"), pk=order_id)
    url = reverse("order", args=[order_id])
    form = ReasonForm(request.POST or None)
    if form.is_valid() and succeeds(
        form,
        lambda: ordering.cancel_order(
            order=shown, reason=form.cleaned_data["reason"], on=timezone.localdate()
        ),
    ):
        messages.success(request, _("The order is cancelled; nothing more is expected of it."))
        return redirect(url)
    page = FormPage(
        heading=_("Cancel this order"),
        button=_("Cancel the order"),
        back_url=url,
        trail=((str(shown), url),),
        about=_("Bins already received stay in the ledger."),
        is_undoing=True,
    )
    return page.answer(request, form)
