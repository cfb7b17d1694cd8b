"""The one page on which the forms of funding stand."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.functional import Promise

from outreach.staff.refusals import status_of

Words = str | Promise


@dataclass(frozen=True, slots=True, kw_only=True)
class FormPage:
    """Its heading, a sentence under it, the button, and the way back."""

    heading: Words
    button: Words
    back_url: str
    # Pages above this one after 'Funding', each a word and an address.
    trail: tuple[tuple[Words, str], ...] = ()
    about: Words = ""
    is_undoing: bool = False

    def answer(self, request: HttpRequest, form: Any) -> HttpResponse:
        return render(request, "funding/form.html", {"page": self, "form": form}, status=status_of(form))
