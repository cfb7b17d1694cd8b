"""The invented programme's set-up, as `fixtures/set_up.toml` has it, and its paperwork."""

import tomllib
from pathlib import Path
from typing import Any

from django.conf import settings

FIXTURES = Path(settings.BASE_DIR) / "fixtures"


def set_up() -> dict[str, Any]:
    return tomllib.loads((FIXTURES / "set_up.toml").read_text(encoding="utf-8"))


def paperwork() -> list[tuple[str, bytes]]:
    """Every sheet, list and export: name and bytes."""
    return [(path.name, path.read_bytes()) for path in sorted((FIXTURES / "paperwork").iterdir())]
