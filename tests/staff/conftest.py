"""Signing in many times over needs a hasher that is quick; which one the site uses has a test of its own."""

import pytest


@pytest.fixture(autouse=True)
def quick_hasher(settings):
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
