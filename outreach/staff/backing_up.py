"""Making a backup while the site runs."""

import shutil
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from outreach.staff import backups, database_files
from outreach.staff.backups import BackupRefused, Manifest


def back_up(folder: Path, *, at: datetime) -> Manifest:
    """Write database, uploads and secret key into an empty folder, and the manifest last.

    The database is taken at one instant. Uploads are copied after it, so that every file that it names
    is among them; one that comes later is simply there as well.

    Raises
    ------
    BackupRefused
        If the folder holds something, or the database cannot be read.
    """
    if folder.exists() and any(folder.iterdir()):
        raise BackupRefused(f"{folder} is not empty. Name a folder that is new or empty.")
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    database_files.dump(folder / database_files.file_name())
    if settings.MEDIA_ROOT.exists():
        shutil.copytree(settings.MEDIA_ROOT, folder / backups.UPLOADS, symlinks=True)
    shutil.copy2(settings.VAR / backups.SECRET_KEY, folder / backups.SECRET_KEY)
    manifest = Manifest(
        made_at=at.isoformat(),
        software_version=backups.software_version(),
        database=connection.vendor,
        migrations=sorted(
            f"{app}.{name}" for app, name in MigrationRecorder(connection).applied_migrations()
        ),
        files={name: backups.digest_of(folder / name) for name in backups.files_in(folder)},
    )
    manifest.write(folder)
    backups.note_made(at)
    return manifest
