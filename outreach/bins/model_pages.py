"""Bin models and places of stock: listing, adding, correcting, confirming what paperwork named."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.bins import ordering
from outreach.bins.admission import is_one_of
from outreach.bins.form_page import FormPage
from outreach.bins.forms import BinModelForm, StockPlaceForm
from outreach.bins.models import BinModel, StockPlace
from outreach.staff import audit
from outreach.staff.roles import EVERYONE, OFFICE, StaffRequest, may


@require_GET
@may(*EVERYONE)
def bin_models(request: StaffRequest) -> HttpResponse:
    may_change = is_one_of(request, OFFICE)
    return render(request, "bins/models.html", {"models": BinModel.objects.all(), "may_change": may_change})


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def bin_model_add(request: StaffRequest) -> HttpResponse:
    return _model_form(request, BinModel(), _("Add a bin model"))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def bin_model(request: StaffRequest, model_id: int) -> HttpResponse:
    """Correct a model; saving it also confirms one that was first met in paperwork."""
    known = get_object_or_404(BinModel, pk=model_id)
    return _model_form(request, known, str(known))


def _model_form(request: StaffRequest, known: BinModel, heading: str) -> HttpResponse:
    form = BinModelForm(request.POST or None, instance=known)
    if form.is_valid():
        saved = ordering.confirm_model(bin_model=form.instance, by=request.user, at=timezone.now())
        messages.success(request, _("Saved: %(record)s.") % {"record": saved})
        return redirect("bin_models")
    is_met = known.pk is not None and known.confirmed_at is None
    page = FormPage(
        heading=heading,
        button=_("Confirm it") if is_met else _("Save"),
        back_url=reverse("bin_models"),
        trail=((_("Bin models"), reverse("bin_models")),),
        about=_("First met in paperwork: look at family and litres, then confirm.") if is_met else "",
        below="staff/entries.html" if known.pk else "",
        more={"entries": audit.entries_of(known) if known.pk else []},
    )
    return page.answer(request, form)


@require_GET
@may(*OFFICE)
def stock_places(request: StaffRequest) -> HttpResponse:
    return render(request, "bins/places.html", {"places": StockPlace.objects.stores()})


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def stock_place_add(request: StaffRequest) -> HttpResponse:
    return _place_form(request, StockPlace(), _("Add a place"))


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def stock_place(request: StaffRequest, place_id: int) -> HttpResponse:
    known = get_object_or_404(StockPlace.objects.stores(), pk=place_id)
    return _place_form(request, known, str(known))


def _place_form(request: StaffRequest, known: StockPlace, heading: str) -> HttpResponse:
    form = StockPlaceForm(request.POST or None, instance=known)
    if form.is_valid():
        messages.success(request, _("Saved: %(record)s.") % {"record": form.save()})
        return redirect("stock_places")
    page = FormPage(
        heading=heading,
        button=_("Save"),
        back_url=reverse("stock_places"),
        trail=((_("Set-up"), reverse("set_up")), (_("Places of stock"), reverse("stock_places"))),
        is_elsewhere=True,
        below="staff/entries.html" if known.pk else "",
        more={"entries": audit.entries_of(known) if known.pk else []},
        about=_("A store, table or van where bins lie and are counted."),
    )
    return page.answer(request, form)
