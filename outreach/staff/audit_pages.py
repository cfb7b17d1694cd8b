"""The audit trail as a page: everything that was changed, to narrow down."""

import django_filters
from django import forms
from django.contrib.contenttypes.models import ContentType
from django.core.paginator import Paginator
from django.db.models import QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_GET

from outreach.staff import audit
from outreach.staff.audit_reading import read
from outreach.staff.models import AuditEntry, StaffMember
from outreach.staff.roles import WHOLE_TRAIL_READERS, may

A_DAY = {"type": "date"}


class KindField(forms.ModelChoiceField):
    def label_from_instance(self, obj: ContentType) -> str:
        model = obj.model_class()
        return str(model._meta.verbose_name if model else obj.model)


class KindFilter(django_filters.ModelChoiceFilter):
    field_class = KindField


def _kept_kinds(request: HttpRequest | None) -> QuerySet[ContentType]:
    kinds = ContentType.objects.get_for_models(*audit.kept_models())
    return ContentType.objects.filter(pk__in=[kind.pk for kind in kinds.values()])


class TrailFilter(django_filters.FilterSet):
    """Which kind of record, which one, who, and when."""

    kind = KindFilter(
        field_name="content_type", queryset=_kept_kinds, label=_("Kind of record"), empty_label=_("any")
    )
    number = django_filters.NumberFilter(field_name="object_id", label=_("Its number"))
    who = django_filters.ModelChoiceFilter(
        field_name="actor", queryset=StaffMember.objects.all(), label=_("Who"), empty_label=_("anyone")
    )
    from_on = django_filters.DateFilter(
        field_name="timestamp",
        lookup_expr="date__gte",
        label=_("From"),
        widget=forms.DateInput(attrs=A_DAY, format="%Y-%m-%d"),
    )
    until_on = django_filters.DateFilter(
        field_name="timestamp",
        lookup_expr="date__lte",
        label=_("Until"),
        widget=forms.DateInput(attrs=A_DAY, format="%Y-%m-%d"),
    )
    why = django_filters.CharFilter(field_name="reason", lookup_expr="icontains", label=_("Reason has"))

    class Meta:
        model = AuditEntry
        fields: list[str] = []


@require_GET
@may(*WHOLE_TRAIL_READERS)
def audit_trail(request: HttpRequest) -> HttpResponse:
    trail = AuditEntry.objects.select_related("actor", "content_type")
    narrowed = TrailFilter(request.GET, queryset=trail, request=request)
    page = Paginator(narrowed.qs, 50).get_page(request.GET.get("page"))
    return render(
        request,
        "staff/audit_trail.html",
        {"filter": narrowed, "page_obj": page, "entries": read(page.object_list)},
    )
