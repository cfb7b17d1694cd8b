"""The list of households and the page of one. Who may not see contact data gets neither names nor streets."""

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET
from django.views.decorators.vary import vary_on_headers
from django_filters.views import FilterView

from outreach.households import dossier, duplicates
from outreach.households.filters import HouseholdFilter, HouseholdSearch
from outreach.households.models import Household, HouseholdMerge
from outreach.households.querysets import HouseholdQuerySet
from outreach.staff import audit
from outreach.staff.roles import EVERYONE, OFFICE, TRAIL_READERS, WITH_CONTACT_DATA, StaffRequest, may

ROWS_A_PAGE = 50


def sees_contact_data(request: StaffRequest) -> bool:
    return request.user.role in WITH_CONTACT_DATA


def may_change(request: StaffRequest) -> bool:
    return request.user.role in OFFICE


class HouseholdList(FilterView):
    """Households that stand for themselves, narrowed by what is asked."""

    paginate_by = ROWS_A_PAGE

    def get_queryset(self) -> HouseholdQuerySet:
        households = Household.objects.roots().in_order(self.request.GET.get("order", ""))
        if sees_contact_data(self.request):
            return households.with_people()
        return households.select_related("jurisdiction", "district").in_order_of_number()

    def get_filterset_class(self) -> Any:
        return HouseholdSearch if sees_contact_data(self.request) else HouseholdFilter

    def get_template_names(self) -> list[str]:
        page = "households/list.html"
        return [f"{page}#rows" if self.request.htmx else page]

    def get_context_data(self, **more: Any) -> dict[str, Any]:
        return super().get_context_data(
            sees_contact_data=sees_contact_data(self.request), may_change=may_change(self.request), **more
        )


households = require_GET(may(*EVERYONE)(vary_on_headers("HX-Request")(HouseholdList.as_view())))


@require_GET
@may(*EVERYONE)
def household(request: StaffRequest, pk: int) -> HttpResponse:
    record = get_object_or_404(Household.objects.with_people(), pk=pk)
    member = request.user
    sees_trail = member.role in TRAIL_READERS
    context = {
        "household": record,
        "heading": heading_of(request, record),
        "sees_contact_data": sees_contact_data(request),
        "may_change": may_change(request),
        "people": record.people,
        "timeline": dossier.timeline_of(record, member),
        "panels": dossier.panels_for(record, member),
        "buttons": dossier.actions_for(record, member),
        "sees_trail": sees_trail,
        "entries": audit.entries_of(record, *record.people) if sees_trail else [],
        "merges": HouseholdMerge.objects.of(record),
    }
    if may_change(request):
        context["likely"] = _likely(record)
    return render(request, "households/household.html", context)


def heading_of(request: StaffRequest, record: Household) -> str:
    """The address for those who may see it, else the number."""
    return str(record) if sees_contact_data(request) else _("Household %(number)d") % {"number": record.pk}


def _likely(record: Household) -> list[dict[str, Any]]:
    """Records that look like this one, and why."""
    if record.merged_into_id is not None:
        return []
    pairs = duplicates.pairs_of(record)
    numbers = [one for pair in pairs for one in (pair.left_id, pair.right_id) if one != record.pk]
    others = Household.objects.in_bulk(numbers)
    return [
        {"other": others[number], "words": pair.words} for number, pair in zip(numbers, pairs, strict=True)
    ]
