"""An SQLite file with every migration applied, made once and copied.

Applying them takes half a minute, copying the result nothing. The file is kept between runs, under a name made from
the migrations, so that a changed migration makes another.
"""

import contextlib
import hashlib
import os
import shutil
import sqlite3
import tempfile
from pathlib import Path

import django

ROOT = Path(__file__).parents[1]


def copy_to(path: Path) -> bool:
    """Copy the file there; False where none has been kept yet, so that the migrations must run."""
    kept = _kept_at()
    if kept.exists():
        shutil.copyfile(kept, path)
    return kept.exists()


def keep(path: str) -> None:
    """Keep what the migrations made of an empty database, for the next that needs one."""
    kept = _kept_at()
    if kept.exists():
        return
    kept.parent.mkdir(mode=0o700, exist_ok=True)
    own = kept.with_suffix(f".{os.getpid()}")
    with contextlib.closing(sqlite3.connect(path)) as made, contextlib.closing(sqlite3.connect(own)) as copy:
        made.backup(copy)
    own.replace(kept)


def _kept_at() -> Path:
    digest = hashlib.sha256(django.__version__.encode())
    for migration in sorted(ROOT.glob("outreach/*/migrations/*.py")):
        digest.update(migration.name.encode() + migration.read_bytes())
    folder = Path(tempfile.gettempdir()) / f"loambook-migrated-{os.getuid()}"
    return folder / f"{digest.hexdigest()[:20]}.sqlite3"
