"""The language of a resident: chosen on the page, else what the browser asks for."""

from collections.abc import Callable
from functools import wraps
from typing import Any, NamedTuple

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import translation

PARAMETER = "language"


class LanguageLink(NamedTuple):
    """The same page, with the same answers, in another language."""

    code: str
    name: str
    query: str


def in_residents_language(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Answer in the language that `?language=` names, if it is one of ours."""

    @wraps(view)
    def spoken(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        code = chosen(request)
        if not code:
            return view(request, *args, **kwargs)
        with translation.override(code):
            answer = view(request, *args, **kwargs)
        answer.headers["Content-Language"] = code
        return answer

    return spoken


def chosen(request: HttpRequest) -> str:
    """The language named in the address, or nothing."""
    code = request.GET.get(PARAMETER, "")
    return code if code in dict(settings.LANGUAGES) else ""


def public_page(request: HttpRequest, template: str, context: dict[str, Any]) -> HttpResponse:
    """A page for residents, with what its shell needs to change the language and keep it."""
    shell = {"chosen_language": chosen(request), "language_links": list(_links(request))}
    return render(request, template, {**shell, **context})


def _links(request: HttpRequest) -> list[LanguageLink]:
    links = []
    for code, _name in settings.LANGUAGES:
        query = request.GET.copy()
        query[PARAMETER] = code
        name = translation.get_language_info(code)["name_local"].capitalize()
        if code != translation.get_language():
            links.append(LanguageLink(code, name, query.urlencode()))
    return links


def languages() -> list[tuple[str, str]]:
    """The languages residents are written to, each in its own words, for a choice."""
    return [
        (code, translation.get_language_info(code)["name_local"].capitalize())
        for code, _n in settings.LANGUAGES
    ]
