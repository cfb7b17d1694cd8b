"""Receiving, moving, counting and writing off: what people do at a shelf."""

from collections.abc import Callable
from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from outreach.bins import ledger
from outreach.bins.form_page import FormPage
from outreach.bins.forms import CountForm, MoveForm, ReceiptForm, WriteOffForm
from outreach.bins.models import BinOrder, StockMovement
from outreach.bins.refusals import attempt
from outreach.staff.roles import OFFICE, WITH_CONTACT_DATA, may

Act = Callable[..., StockMovement | None]


def _page(heading: str, button: str, about: str = "") -> FormPage:
    return FormPage(heading=heading, button=button, about=about, back_url=reverse("bins"))


def _answer(request: HttpRequest, page: FormPage, form: forms.Form, act: Act, **more: Any) -> HttpResponse:
    """Show the form, or do what it says and go back."""
    if form.is_valid():
        who = {"by": request.user, "at": timezone.now()}
        done = attempt(form, lambda: act(**form.cleaned_data, **more, **who))
        if not form.errors:
            _say(request, done)
            return redirect(page.back_url)
    return page.answer(request, form)


def _say(request: HttpRequest, movement: StockMovement | None) -> None:
    if movement is None:
        messages.success(request, _("The count agrees with the ledger; nothing had to be changed."))
        return
    words = {"count": movement.quantity, "model": movement.bin_model, "why": movement.get_why_display()}
    messages.success(request, _("Written in the ledger: %(count)d %(model)s, %(why)s.") % words)


def _on_today(form_class: type[forms.Form], request: HttpRequest, day: str) -> forms.Form:
    initial = {day: timezone.localdate(), **request.GET.dict()}
    return form_class(request.POST or None, initial=initial)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def stock_receive(request: HttpRequest) -> HttpResponse:
    page = _page(_("Receive bins"), _("Put them in the ledger"), _("Bins that came without an order here."))
    return _answer(request, page, _on_today(ReceiptForm, request, "received_on"), ledger.receive)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def order_receive(request: HttpRequest, order_id: int) -> HttpResponse:
    """Receive bins of an order; the rest stays on order."""
    order = get_object_or_404(BinOrder.objects.with_received().select_related("bin_model"), pk=order_id)
    order_url = reverse("order", args=[order.pk])
    left = max(0, order.quantity - order.received)
    form = ReceiptForm(
        request.POST or None, initial={"quantity": left or None, "received_on": timezone.localdate()}
    ).for_order()
    about = _("%(model)s from %(supplier)s: %(left)d of %(quantity)d still to come.") % {
        "model": order.bin_model,
        "supplier": order.supplier,
        "left": left,
        "quantity": order.quantity,
    }
    page = FormPage(
        heading=_("Receive bins of an order"),
        button=_("Put them in the ledger"),
        about=about,
        back_url=order_url,
        trail=((str(order), order_url),),
    )
    return _answer(request, page, form, ledger.receive, bin_model=order.bin_model, order=order)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def stock_move(request: HttpRequest) -> HttpResponse:
    page = _page(_("Move bins"), _("Move them"), _("From one store, table or van to another."))

    def act(**facts: Any) -> StockMovement:
        return ledger.move(why=StockMovement.Why.MOVED, **facts)

    return _answer(request, page, _on_today(MoveForm, request, "moved_on"), act)


@require_http_methods(["GET", "POST"])
@may(*WITH_CONTACT_DATA)
def stock_count(request: HttpRequest) -> HttpResponse:
    about = _("Where the shelf and the ledger differ, the difference is written as a movement of its own.")
    page = _page(_("Count a shelf"), _("Write the count down"), about)
    return _answer(request, page, _on_today(CountForm, request, "counted_on"), ledger.count)


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def stock_write_off(request: HttpRequest) -> HttpResponse:
    page = _page(_("Write bins off"), _("Write them off"), _("Broken, lost or otherwise gone for good."))
    return _answer(request, page, _on_today(WriteOffForm, request, "written_off_on"), ledger.write_off)
