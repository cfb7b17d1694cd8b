"""The database as a file and back: SQLite by its online backup, PostgreSQL by its own programs."""

import os
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

from django.db import connection
from django.db.backends.postgresql.client import DatabaseClient
from django.db.backends.sqlite3._functions import register

from outreach.staff.backups import BackupRefused

FILE_NAMES = {"sqlite": "database.sqlite3", "postgresql": "database.pgdump"}


def file_name() -> str:
    """What the database is called within a backup."""
    return FILE_NAMES[connection.vendor]


def dump(target: Path) -> None:
    """Write the whole database to `target` as it stands at one instant, while others go on writing."""
    if connection.vendor == "sqlite":
        _dump_sqlite(target)
    else:
        _run("pg_dump", ["--format=custom", "--no-owner", "--no-privileges", f"--file={target}"])
    target.chmod(0o600)


def _dump_sqlite(target: Path) -> None:
    with (
        closing(sqlite3.connect(_sqlite_path(), timeout=30)) as live,
        closing(sqlite3.connect(target)) as copy,
    ):
        live.backup(copy)
        register(copy)  # the checks of our tables use functions that Django brings
        copy.execute("PRAGMA journal_mode=DELETE")
        found = _trouble_in(copy)
    if found != "ok":
        raise BackupRefused(
            f"The database is damaged ({found}), so no backup was made. Restore the last one."
        )


def _trouble_in(copy: sqlite3.Connection) -> str:
    try:
        return str(copy.execute("PRAGMA integrity_check").fetchone()[0])
    except sqlite3.DatabaseError as error:
        return str(error)


def has_records() -> bool:
    """Whether a database is there already."""
    if connection.vendor == "sqlite" and not _sqlite_path().exists():
        return False
    return bool(connection.introspection.table_names())


def replace_with(source: Path, *, aside: Path) -> None:
    """Put the database of a backup in place of the present one, which moves to the folder `aside`."""
    if connection.vendor == "sqlite":
        _replace_sqlite(source, aside)
    else:
        _replace_postgresql(source, aside)


def _replace_sqlite(source: Path, aside: Path) -> None:
    live = _sqlite_path()
    connection.close()
    if live.exists():
        _refuse_while_in_use(live)
    incoming = live.with_name(f"{live.name}.incoming")
    shutil.copyfile(source, incoming)
    incoming.chmod(0o600)
    if live.exists():
        live.rename(aside / FILE_NAMES["sqlite"])
    incoming.rename(live)


def _refuse_while_in_use(live: Path) -> None:
    """Leaving WAL needs the file to itself, and folds the log into it."""
    with closing(sqlite3.connect(live, timeout=1)) as alone:
        try:
            alone.execute("PRAGMA journal_mode=DELETE")
        except sqlite3.OperationalError:
            raise _in_use() from None


def _replace_postgresql(source: Path, aside: Path) -> None:
    _refuse_while_others_are_connected()
    kept = aside / FILE_NAMES["postgresql"]
    try:
        dump(kept)
    except BackupRefused:
        kept.unlink(missing_ok=True)
        raise
    with connection.cursor() as cursor:
        cursor.execute("ALTER SCHEMA public RENAME TO before_restore")
        cursor.execute("CREATE SCHEMA public")
    try:
        _run(
            "pg_restore", ["--no-owner", "--no-privileges", "--single-transaction", "--dbname"], [str(source)]
        )
    except BackupRefused:
        with connection.cursor() as cursor:
            cursor.execute("DROP SCHEMA public CASCADE")
            cursor.execute("ALTER SCHEMA before_restore RENAME TO public")
        kept.unlink()
        raise
    with connection.cursor() as cursor:
        cursor.execute("DROP SCHEMA before_restore CASCADE")
    connection.close()


def _refuse_while_others_are_connected() -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() "
            "AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
        )
        if cursor.fetchone()[0]:
            raise _in_use()


def _in_use() -> BackupRefused:
    return BackupRefused(
        "The database is in use. Stop the server and the worker, then restore again. Nothing was changed."
    )


def _run(program: str, options: list[str], arguments: list[str] | None = None) -> None:
    """Run one of PostgreSQL's programs on our database; its own words come back where it fails."""
    found = shutil.which(program)
    if not found:
        raise BackupRefused(f"The program {program} is not installed. Install PostgreSQL's client programs.")
    call, secrets = DatabaseClient.settings_to_cmd_args_env(connection.settings_dict, options)
    done = subprocess.run(  # noqa: S603  # the program is PostgreSQL's, the arguments are ours
        [found, *call[1:], *(arguments or [])],
        env=os.environ | (secrets or {}),
        capture_output=True,
        text=True,
        check=False,
    )
    if done.returncode:
        raise BackupRefused(f"{program} failed: {done.stderr.strip()}")


def _sqlite_path() -> Path:
    return Path(connection.settings_dict["NAME"])
