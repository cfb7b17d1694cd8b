"""The one page on which every form of the bins app stands."""

from dataclasses import dataclass, field
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.functional import Promise

from outreach.bins.refusals import status_of

Words = str | Promise


@dataclass(frozen=True, slots=True, kw_only=True)
class FormPage:
    """Its heading, a sentence under it, the button, and the way back."""

    heading: Words
    button: Words
    back_url: str
    # Pages above this one after 'Bins', each a word and an address.
    trail: tuple[tuple[Words, str], ...] = ()
    about: Words = ""
    is_undoing: bool = False
    # It belongs to another place than Bins, which the trail then begins with.
    is_elsewhere: bool = False
    # A template below the form, and what it needs.
    below: str = ""
    more: dict[str, Any] = field(default_factory=dict)

    def answer(self, request: HttpRequest, form: Any) -> HttpResponse:
        context = {"page": self, "form": form, **self.more}
        return render(request, "bins/form.html", context, status=status_of(form))
