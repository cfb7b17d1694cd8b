"""When the last backup was made: one line beside the database, so that Season can warn."""

from datetime import datetime
from pathlib import Path

from django.conf import settings

NOTE = "last_backup"


def last_made_at() -> datetime | None:
    """The instant of the last complete backup of this machine, or None when there was none."""
    note = Path(settings.VAR) / NOTE
    try:
        return datetime.fromisoformat(note.read_text(encoding="ascii").strip())
    except (FileNotFoundError, ValueError):
        return None


def note_made(at: datetime) -> None:
    """Remember that a complete backup was made then."""
    note = Path(settings.VAR) / NOTE
    draft = note.with_suffix(".part")
    draft.write_text(at.isoformat(), encoding="ascii")
    draft.replace(note)
