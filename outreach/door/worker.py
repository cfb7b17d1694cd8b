"""What a device keeps so that the Door starts without network: the list of files, and the worker that keeps them."""

import hashlib
import json
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import staticfiles_storage
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from outreach.door import shell_pages, words

OURS = Path(__file__).parent / "static" / "door"
WORKER = OURS / "worker.js"
LOOK = ("tokens.css", "page.css", "pieces.css", "forms.css", "icon.svg")
FACE = "atkinson-hyperlegible-next-latin-{}.woff2"
WEIGHTS = ("400-normal", "700-normal", "ext-400-normal", "ext-700-normal")


class Kept(NamedTuple):
    """One address that the worker keeps, and the digest of what it answers."""

    url: str
    digest: str


@require_safe
@login_not_required
@cache_control(no_cache=True)
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker, headed by the addresses to keep; changed files change it, so devices fetch anew."""
    kept = what_is_kept()
    version = _digest("".join(kept_one.url + kept_one.digest for kept_one in kept).encode())
    head = f"const VERSION = {json.dumps(version)};\nconst FILES = {json.dumps([one.url for one in kept])};\n"
    script = head + WORKER.read_text(encoding="utf-8")
    answer = HttpResponse(script, content_type="text/javascript; charset=utf-8")
    answer.headers["Service-Worker-Allowed"] = reverse("door_start")
    return answer


def what_is_kept() -> list[Kept]:
    """The shell, its words, and every file that they are made of."""
    static = [Kept(staticfiles_storage.url(name), _digest_of_file(name)) for name in static_names()]
    made = [
        Kept(reverse("door_shell"), _digest(shell_pages.shell_html().encode())),
        Kept(reverse("door_manifest"), _digest(shell_pages.manifest_json().encode())),
    ]
    spoken = [
        Kept(reverse("door_words", args=[code]), _digest(words.as_json(code).encode()))
        for code, _name in settings.LANGUAGES
    ]
    return made + spoken + static


def static_names() -> list[str]:
    """Names of the static files of the Door, as templates ask for them."""
    ours = sorted(f"door/{file.name}" for file in OURS.iterdir() if file.is_file() and file != WORKER)
    look = [f"look/{name}" for name in LOOK]
    return ours + look + [f"fonts/{FACE.format(weight)}" for weight in WEIGHTS]


@lru_cache(maxsize=256)
def _digest_of_file(name: str) -> str:
    found = finders.find(name)
    return _digest(Path(found).read_bytes()) if isinstance(found, str) else ""


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()[:16]
