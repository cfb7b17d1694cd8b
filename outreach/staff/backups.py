"""What a backup is: a folder with the database, uploads, the secret key, and a manifest of their digests.

The manifest is written last, so a folder without one is a backup that was cut short.
"""

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import asdict, dataclass
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

from django.conf import settings

MANIFEST = "manifest.json"
UPLOADS = "uploads"
SECRET_KEY = "secret_key"  # noqa: S105  # the name of the file
NOTE = "last_backup"


class BackupRefused(Exception):
    """The backup cannot be made or restored; the words say why and what to do."""


class BrokenBackup(BackupRefused):
    """Files of a backup are missing, were changed, or do not belong to it."""

    def __init__(self, folder: Path, troubles: list[str]) -> None:
        self.folder, self.troubles = folder, troubles
        listed = "; ".join(troubles[:10]) + (" …" if len(troubles) > 10 else "")
        super().__init__(
            f"{folder} is not a whole backup: {listed}. Nothing was restored; use another backup."
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Manifest:
    """What a backup holds, when it was made, and by which software."""

    made_at: str
    software_version: str
    database: str  # vendor: sqlite or postgresql
    migrations: list[str]
    files: dict[str, str]  # path within the folder, to SHA-256

    def write(self, folder: Path) -> None:
        draft = folder / f"{MANIFEST}.part"
        with draft.open("w", encoding="utf-8") as stream:
            json.dump(asdict(self), stream, indent=1, sort_keys=True)
            stream.flush()
            os.fsync(stream.fileno())
        draft.replace(folder / MANIFEST)


def read_manifest(folder: Path) -> Manifest:
    """The manifest of a backup whose every file has been compared with its digest.

    Raises
    ------
    BrokenBackup
        Listing what is missing, changed or foreign.
    """
    try:
        manifest = Manifest(**json.loads((folder / MANIFEST).read_text(encoding="utf-8")))
    except FileNotFoundError:
        raise BrokenBackup(folder, [f"it has no {MANIFEST}, so it was never finished"]) from None
    except (ValueError, TypeError):
        raise BrokenBackup(folder, [f"its {MANIFEST} cannot be read"]) from None
    found = {name for name in files_in(folder) if name != MANIFEST}
    troubles = [f"{name} is missing" for name in sorted(manifest.files.keys() - found)]
    troubles += [f"{name} does not belong to it" for name in sorted(found - manifest.files.keys())]
    troubles += [
        f"{name} was changed"
        for name in sorted(found & manifest.files.keys())
        if digest_of(folder / name) != manifest.files[name]
    ]
    if troubles:
        raise BrokenBackup(folder, troubles)
    return manifest


def files_in(folder: Path) -> Iterator[str]:
    """Paths of all files below a folder, with forward slashes."""
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            yield path.relative_to(folder).as_posix()


def digest_of(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def software_version() -> str:
    return version("loambook")


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
