"""What every answer carries, and how that grows once the site has a name on the network."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.urls import reverse

from outreach.staff.roles import Role

ROOT = Path(__file__).parents[2]
ASKED = """
import json, django
django.setup()
from django.conf import settings
from django.test import Client
names = ["SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "SESSION_COOKIE_HTTPONLY", "SECURE_SSL_REDIRECT",
         "SECURE_HSTS_SECONDS", "SECURE_HSTS_INCLUDE_SUBDOMAINS", "ALLOWED_HOSTS", "DEBUG"]
answers = {}
for scheme in ("http", "https"):
    answer = Client(SERVER_NAME="bins.example.org").get("/staff/sign-in/", secure=scheme == "https")
    answers[scheme] = {"status": answer.status_code, "headers": dict(answer.headers),
                       "cookies": {k: dict(v) for k, v in answer.cookies.items()}}
print(json.dumps({"settings": {n: getattr(settings, n) for n in names}, "answers": answers}, default=str))
"""


def asked_of_a_server(tmp_path, **environment):
    """Start the settings anew, as a server with this environment does."""
    done = subprocess.run(
        [sys.executable, "-c", ASKED],
        env={
            "PATH": os.environ["PATH"],
            "LOAMBOOK_VAR": str(tmp_path),
            "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
            **environment,
        },
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(done.stdout)


def policy_of(answer):
    directives = [entry.split() for entry in answer["Content-Security-Policy"].split(";")]
    return {name: set(values) for name, *values in directives}


@pytest.mark.parametrize("page", ["season", "sign_in", "gallery"])
def test_the_policy_allows_nothing_inline_and_nobody_elses(as_role, client, page):
    answer = (client if page == "sign_in" else as_role(Role.ADMINISTRATOR)).get(reverse(page))

    policy = policy_of(answer)
    everything = set().union(*policy.values())
    assert policy["default-src"] == {"'self'"}
    assert policy["frame-ancestors"] == policy["object-src"] == {"'none'"}
    assert policy["base-uri"] == policy["form-action"] == {"'self'"}
    assert everything <= {"'self'", "'none'", "data:"}
    assert "data:" not in policy.get("script-src", set()) | policy.get("style-src", set())


def test_a_page_that_is_missing_carries_the_policy_too(as_role):
    answer = as_role(Role.ADMINISTRATOR).get("/nowhere/at/all/")

    assert answer.status_code == 404
    assert policy_of(answer)["default-src"] == {"'self'"}


def test_answers_are_not_framed_nor_sniffed(client, db):
    answer = client.get(reverse("sign_in"))

    assert answer["X-Frame-Options"] == "DENY"
    assert answer["X-Content-Type-Options"] == "nosniff"
    assert answer["Referrer-Policy"] == "same-origin"


def test_no_template_of_ours_needs_anything_inline():
    wrong = [
        f"{path.relative_to(ROOT)}: {word}"
        for path in (ROOT / "templates").rglob("*.html")
        for word in (" style=", "<style", "onclick=", "onchange=", "onsubmit=", "javascript:", "<script>")
        if word in path.read_text(encoding="utf-8")
    ]

    assert wrong == []


def test_on_this_machine_alone_plain_http_works(tmp_path):
    asked = asked_of_a_server(tmp_path)

    assert asked["settings"]["SESSION_COOKIE_SECURE"] is False
    assert asked["settings"]["SECURE_HSTS_SECONDS"] == 0
    assert "bins.example.org" not in asked["settings"]["ALLOWED_HOSTS"]


def test_with_a_name_on_the_network_everything_goes_over_tls(tmp_path):
    asked = asked_of_a_server(tmp_path, LOAMBOOK_HOSTS="bins.example.org")

    plain, secure = asked["answers"]["http"], asked["answers"]["https"]
    assert plain["status"] == 301
    assert plain["headers"]["Location"].startswith("https://bins.example.org/")
    assert secure["status"] == 200
    assert secure["headers"]["Strict-Transport-Security"] == "max-age=31536000; includeSubDomains"
    assert secure["cookies"]["csrftoken"]["secure"] is True
    assert asked["settings"]["SESSION_COOKIE_SECURE"] is True
    assert asked["settings"]["SESSION_COOKIE_HTTPONLY"] is True
    assert asked["settings"]["DEBUG"] is False


def test_a_name_that_is_not_ours_is_refused(tmp_path):
    asked = asked_of_a_server(tmp_path, LOAMBOOK_HOSTS="other.example.org")

    assert asked["answers"]["https"]["status"] == 400


def test_the_proxys_word_on_tls_is_taken_only_where_there_is_one(tmp_path):
    forwarded = {"HTTP_X_FORWARDED_PROTO": "https"}
    script = ASKED.replace("secure=scheme", f"**{forwarded!r}, secure=scheme")
    answers = {}
    for behind in ("", "1"):
        done = subprocess.run(
            [sys.executable, "-c", script],
            env={
                "PATH": os.environ["PATH"],
                "LOAMBOOK_VAR": str(tmp_path),
                "DJANGO_SETTINGS_MODULE": "outreach.site.settings",
                "LOAMBOOK_HOSTS": "bins.example.org",
                "LOAMBOOK_BEHIND_PROXY": behind,
            },
            cwd=ROOT,
            capture_output=True,
            text=True,
            check=True,
        )
        answers[behind] = json.loads(done.stdout)["answers"]["http"]["status"]

    assert answers == {"": 301, "1": 200}
