"""Files of these tests lie in a folder of their own."""

import pytest


@pytest.fixture(autouse=True)
def own_folder(settings, tmp_path):
    settings.VAR = tmp_path
    settings.MEDIA_ROOT = tmp_path / "uploads"
