"""Bins at a glance, the movements behind them, and who has a lot."""

from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from outreach.bins import ledger_reads, running_short
from outreach.bins.admission import is_one_of
from outreach.bins.filters import MovementFilter
from outreach.bins.models import BinModel, BinOrder, RuleException, StockMovement
from outreach.staff.roles import EVERYONE, OFFICE, READERS, WITH_CONTACT_DATA, may

ROWS_A_PAGE = 50


@require_GET
@may(*EVERYONE)
def bins(request: HttpRequest) -> HttpResponse:
    """Stock by model and place, what is on order, what runs short, what waits for a person."""
    context = {
        "stock": ledger_reads.stock_by_model_and_place(),
        "orders": BinOrder.objects.outstanding().select_related("bin_model"),
        "today": timezone.localdate(),
        "shortages": running_short.runs_short(timezone.localdate()),
        "exceptions_open": RuleException.objects.without_reason().count(),
        "models_to_confirm": BinModel.objects.to_confirm().count(),
        "may_keep_stock": is_one_of(request, OFFICE),
        "may_carry": is_one_of(request, WITH_CONTACT_DATA),
        "may_read": is_one_of(request, READERS),
    }
    return render(request, "bins/overview.html", context)


@require_GET
@may(*EVERYONE)
def movements(request: HttpRequest) -> HttpResponse:
    """The ledger, the latest first, narrowed as asked; notes only for those who see free text."""
    narrowed = MovementFilter(request.GET or None, queryset=StockMovement.objects.with_details())
    page = Paginator(narrowed.qs, ROWS_A_PAGE).get_page(request.GET.get("page"))
    template = "bins/movements.html#rows" if request.htmx else "bins/movements.html"  # type: ignore[attr-defined]
    sees_notes = is_one_of(request, WITH_CONTACT_DATA)
    response = render(request, template, {"filter": narrowed, "page": page, "sees_notes": sees_notes})
    response["Vary"] = "HX-Request"
    return response


@require_GET
@may(*EVERYONE)
def lot(request: HttpRequest) -> HttpResponse:
    """Who has a bin of this lot? For a recall; without names for those who may not see them."""
    wanted = request.GET.get("lot", "").strip()
    context = {
        "wanted": wanted,
        "trace": ledger_reads.who_has_lot(wanted) if wanted else None,
        "sees_names": is_one_of(request, WITH_CONTACT_DATA),
    }
    return render(request, "bins/lot.html", context)
