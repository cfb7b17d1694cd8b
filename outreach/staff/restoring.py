"""Putting a backup back in place, with the present state kept aside."""

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.management import call_command
from django.db import connection
from django.db.migrations.loader import MigrationLoader

from outreach.staff import backups, database_files
from outreach.staff.backups import BackupRefused, Manifest

_afterwards: dict[str, Callable[[datetime], object]] = {}


def afterwards(name: str, act: Callable[[datetime], object]) -> None:
    """Do this whenever a backup has been put back, with the instant of it; may be done twice."""
    _afterwards[name] = act


def restore(folder: Path, *, may_replace: bool, at: datetime) -> Path:
    """Restore a backup; return the folder where what was there before is kept.

    Digests are compared before anything is touched. The restored database is brought to this
    software's version, and everybody signs in again.

    Raises
    ------
    BackupRefused
        If the backup is broken, is for another kind of database, was made by newer software, or a
        database is there and `may_replace` is false, or is in use.
    """
    manifest = backups.read_manifest(folder)
    _refuse_foreign(manifest)
    if database_files.has_records() and not may_replace:
        raise BackupRefused(
            "A database is already there. Say --yes to put it aside and restore the backup in its place."
        )
    aside = settings.VAR / f"before-restore-{at:%Y%m%d-%H%M%S}"
    aside.mkdir(mode=0o700)
    try:
        _bring_files(folder)
        database_files.replace_with(folder / database_files.file_name(), aside=aside)
    except (BackupRefused, OSError):
        shutil.rmtree(_incoming_uploads(), ignore_errors=True)
        _incoming_key().unlink(missing_ok=True)
        aside.rmdir()
        raise
    _swap_files(aside)
    call_command("migrate", interactive=False, verbosity=0)
    Session.objects.all().delete()
    for act in _afterwards.values():
        act(at)
    return aside


def _refuse_foreign(manifest: Manifest) -> None:
    if manifest.database != connection.vendor:
        raise BackupRefused(
            f"The backup is of a {manifest.database} database and this machine is set to {connection.vendor}. "
            "Set DATABASE_URL to the kind that the backup is of."
        )
    known = {f"{app}.{name}" for app, name in MigrationLoader(None).disk_migrations}
    newer = sorted(set(manifest.migrations) - known)
    if newer:
        raise BackupRefused(
            f"The backup was made by Loambook {manifest.software_version}, which knows steps that "
            f"{backups.software_version()} does not ({newer[0]}). Install that version or a later one."
        )


def _incoming_uploads() -> Path:
    return settings.VAR / f"{backups.UPLOADS}.incoming"


def _incoming_key() -> Path:
    return settings.VAR / f"{backups.SECRET_KEY}.incoming"


def _bring_files(folder: Path) -> None:
    """Copy first what can fail for want of room; afterwards names are only exchanged."""
    shutil.rmtree(_incoming_uploads(), ignore_errors=True)
    if (folder / backups.UPLOADS).exists():
        shutil.copytree(folder / backups.UPLOADS, _incoming_uploads(), symlinks=True)
    shutil.copyfile(folder / backups.SECRET_KEY, _incoming_key())
    _incoming_key().chmod(0o600)


def _swap_files(aside: Path) -> None:
    if settings.MEDIA_ROOT.exists():
        settings.MEDIA_ROOT.rename(aside / backups.UPLOADS)
    if _incoming_uploads().exists():
        _incoming_uploads().rename(settings.MEDIA_ROOT)
    key = settings.VAR / backups.SECRET_KEY
    key.rename(aside / backups.SECRET_KEY)
    _incoming_key().rename(key)
