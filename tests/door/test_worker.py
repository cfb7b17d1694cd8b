"""The worker is told of everything that the application page needs, and of nothing that names a resident."""

import json
import re

import pytest
from django.conf import settings
from django.urls import reverse

from outreach.door import shell_pages, worker

# One number and one list of addresses stand before the worker's own text.
HEAD = re.compile(r'^const VERSION = ("\w{16}");\nconst FILES = (\[.*\]);\n')


@pytest.fixture(autouse=True)
def fresh_digests():
    worker._digest_of_file.cache_clear()
    yield
    worker._digest_of_file.cache_clear()


def head(client) -> tuple[str, list[str]]:
    found = HEAD.match(client.get("/door/worker.js").content.decode())
    assert found
    return json.loads(found[1]), json.loads(found[2])


def test_the_worker_may_serve_the_whole_door_and_is_asked_for_anew_each_time(client):
    answer = client.get("/door/worker.js")

    assert answer["Content-Type"].startswith("text/javascript")
    assert answer["Service-Worker-Allowed"] == "/door/"
    assert "no-cache" in answer["Cache-Control"]
    assert not answer.cookies


def test_every_address_that_is_kept_answers(client):
    _version, files = head(client)

    for url in files:
        if url.startswith(settings.STATIC_URL):
            continue
        answer = client.get(url)
        assert answer.status_code == 200, url
        assert not answer.cookies, url
    assert all(kept.digest for kept in worker.what_is_kept())


def test_everything_the_page_its_styles_and_its_modules_name_is_kept(client):
    _version, files = head(client)
    page = shell_pages.shell_html()
    named = set(re.findall(r'(?:href|src)="(/[^"#]+)"', page))
    for module in worker.OURS.glob("*.js"):
        text = module.read_text(encoding="utf-8")
        named |= {f"/static/door/{name}" for name in re.findall(r'from "\./([\w.]+)"', text)}
    named |= {f"/door/words/{code}.json" for code, _name in settings.LANGUAGES}

    assert len(named) > 20
    assert named - set(files) == set()


def test_faces_of_the_text_are_kept_as_the_styles_name_them(client):
    _version, files = head(client)
    tokens = (settings.BASE_DIR / "outreach/site/static/look/tokens.css").read_text()
    upright = [name for name in re.findall(r'url\("\.\./fonts/([^"]+)"', tokens) if "italic" not in name]

    assert upright
    assert {f"/static/fonts/{name}" for name in upright} <= set(files)


def test_a_changed_file_changes_the_worker(client, monkeypatch, tmp_path):
    before, _files = head(client)
    changed = tmp_path / "changed.js"
    changed.write_text("// other words")
    monkeypatch.setattr(worker.finders, "find", lambda name: str(changed))
    worker._digest_of_file.cache_clear()

    after, _files = head(client)

    assert after != before


def test_the_application_page_is_the_same_for_every_workshop_and_every_reader(client, as_coordinator):
    pages = {
        asker.get(address).content
        for asker in (client, as_coordinator)
        for address in (reverse("door_app", args=[1]), reverse("door_app", args=[2]), reverse("door_shell"))
    }

    assert len(pages) == 1
    assert b"<form" not in pages.pop()
    assert client.get("/door/1/", headers={"accept-language": "es"}).content == client.get("/door/2/").content


def test_words_of_a_language_that_is_not_ours_are_a_404(client):
    answer = client.get("/door/words/qq.json")

    assert answer.status_code == 404
    assert answer.json()["sentence"]


def test_strangers_get_the_field_for_a_pass_and_no_workshop(client, db):
    html = client.get("/door/").content.decode()

    assert 'id="pass"' in html
    assert "data-workshop" not in html
