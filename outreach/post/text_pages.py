"""The wording of messages: read, changed, previewed on sample values, with every earlier version."""

from datetime import datetime
from typing import NamedTuple

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from outreach.post import kinds
from outreach.post import texts as wordings
from outreach.post.kinds import Kind, UnknownKind
from outreach.post.models import TextVersion
from outreach.post.text_forms import TextForm
from outreach.post.texts import Wording
from outreach.staff.roles import OFFICE, StaffRequest, may


class OneLanguage(NamedTuple):
    """One language of a text on its page."""

    code: str
    name: str
    form: TextForm
    versions: list[TextVersion]


@require_GET
@may(*OFFICE)
def texts(request: StaffRequest) -> HttpResponse:
    """Every kind of message, and which version of its wording is in use."""
    newest = TextVersion.objects.newest()
    rows = [
        (kind, [(_name_of(code), newest.get((kind.key, code), 0)) for code in _languages(kind)])
        for kind in kinds.all_kinds()
    ]
    return render(request, "post/texts.html", {"rows": rows})


@require_http_methods(["GET", "POST"])
@may(*OFFICE)
def text(request: StaffRequest, key: str) -> HttpResponse:
    """One kind of message in every language: change it, and see how it reads."""
    kind = _known(key)
    forms = [
        TextForm(request.POST or None, kind=kind, language=code, shown=_taken_up(request, kind, code))
        for code in _languages(kind)
    ]
    problems = [form for form in forms if request.method == "POST" and not form.is_valid()]
    is_wrong = bool(problems)
    if request.method == "POST" and "save" in request.POST and not is_wrong:
        if _saved(forms, request):
            return redirect("text", key)
        is_wrong = True
    context = {
        "kind": kind,
        "languages": [_one(form) for form in forms],
        "names": sorted(kind.sample.items()),
    }
    return render(request, "post/text.html", context, status=422 if is_wrong else 200)


def _taken_up(request: StaffRequest, kind: Kind, code: str) -> Wording | None:
    """An earlier wording that someone wants to begin from: `?en=2`."""
    asked = request.GET.get(code, "")
    return wordings.version_of(kind, code, int(asked)) if asked.isascii() and asked.isdigit() else None


def _one(form: TextForm) -> OneLanguage:
    versions = TextVersion.objects.of(form.kind.key, form.language).newest_first().with_writers()
    return OneLanguage(form.language, _name_of(form.language), form, list(versions))


def _languages(kind: Kind) -> list[str]:
    return [code for code, _n in settings.LANGUAGES if code in kind.texts]


def _name_of(code: str) -> str:
    return str(translation.get_language_info(code)["name_translated"])


def _known(key: str) -> Kind:
    try:
        return kinds.kind_of(key)
    except UnknownKind as unknown:
        raise Http404 from unknown


def _saved(forms: list[TextForm], request: StaffRequest) -> bool:
    """Keep what was changed, in all languages or in none."""
    at = timezone.now()
    try:
        with transaction.atomic():
            written = [_write(form, request, at) for form in forms]
    except Refused as refused:
        refused.form.add_error(None, refused.sentences)
        return False
    if any(written):
        messages.success(request, _("Saved. Messages from now on use the new wording."))
    else:
        messages.info(request, _("Nothing was changed."))
    return True


class Refused(Exception):
    """One of the forms could not be kept; nothing was."""

    def __init__(self, form: TextForm, sentences: list[str]) -> None:
        self.form, self.sentences = form, sentences
        super().__init__(" ".join(sentences))


def _write(form: TextForm, request: StaffRequest, at: datetime) -> TextVersion | None:
    try:
        return wordings.write(
            kind=form.kind.key,
            language=form.language,
            text=form.text,
            after=form.cleaned_data["after"],
            by=request.user,
            at=at,
        )
    except ValidationError as refused:
        raise Refused(form, refused.messages) from refused
