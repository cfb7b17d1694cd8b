"""The Set-up pages: an index, and for each kind of record a list, a form to add and one to correct."""

from dataclasses import dataclass
from typing import Any

from django import forms
from django.contrib import messages
from django.db import models
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST
from django.views.generic import CreateView, UpdateView
from django_filters import FilterSet
from django_filters.views import FilterView

from outreach.places.models import ServedPlace
from outreach.places.set_up import pages_for
from outreach.staff import audit
from outreach.staff.roles import OFFICE, may

ROWS_A_PAGE = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """One kind of record that is set up, and the words of its pages."""

    model: type[models.Model]
    form_class: type[forms.ModelForm]
    plural: str | Promise
    add_words: str | Promise
    name: str
    list_url: str
    filterset_class: Any = None
    related: tuple[str, ...] = ()
    # Where the template of its list lies; an app above keeps its own.
    folder: str = "places"

    @property
    def add_url(self) -> str:
        return reverse(f"{self.name}_add")


@require_GET
@may(*OFFICE)
def set_up(request: HttpRequest) -> HttpResponse:
    return render(request, "places/set_up.html", {"pages": pages_for(request.user.role)})  # type: ignore[union-attr]


class RecordList(FilterView):
    """The rows of one kind, narrowed by its filters where it has some."""

    kind: Kind = None  # type: ignore[assignment]
    paginate_by = ROWS_A_PAGE

    def get_queryset(self) -> Any:
        return self.kind.model._default_manager.select_related(*self.kind.related)

    def get_filterset_class(self) -> Any:
        return self.kind.filterset_class or FilterSet

    def get_template_names(self) -> list[str]:
        page = f"{self.kind.folder}/{self.kind.list_url}.html"
        return [f"{page}#rows" if self.request.htmx else page]

    def get_context_data(self, **more: Any) -> dict[str, Any]:
        return super().get_context_data(kind=self.kind, **more)


class RecordForm:
    """What adding and correcting share."""

    kind: Kind
    template_name: str | None = "places/record_form.html"

    def get_queryset(self) -> Any:
        return self.kind.model._default_manager.all()

    def get_form_class(self) -> Any:
        return self.kind.form_class

    def get_success_url(self) -> str:
        return reverse(self.kind.list_url)

    def form_valid(self, form: Any) -> HttpResponse:
        answer = super().form_valid(form)  # type: ignore[misc]
        messages.success(self.request, _("Saved: %(record)s.") % {"record": self.object})  # type: ignore[attr-defined]
        return answer

    def get_context_data(self, **more: Any) -> dict[str, Any]:
        record = self.object  # type: ignore[attr-defined]
        entries = audit.entries_of(record) if record is not None else None
        return super().get_context_data(  # type: ignore[misc]
            kind=self.kind, record=record, entries=entries, list_url=reverse(self.kind.list_url), **more
        )


class RecordAdd(RecordForm, CreateView):
    """The form for a new record."""

    kind: Kind = None  # type: ignore[assignment]


class RecordCorrect(RecordForm, UpdateView):
    """The form for a record that is there, and its history."""

    kind: Kind = None  # type: ignore[assignment]


@require_POST
@may(*OFFICE)
def served_place_remove(request: HttpRequest, pk: int) -> HttpResponse:
    place = ServedPlace.objects.numbered(pk).first()
    if place is not None:
        place.delete()
        messages.success(
            request, _("%(place)s is no longer in the places list. Records stay.") % {"place": place}
        )
    return redirect("served_places")
