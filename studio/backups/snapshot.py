"""The studio's database at one moment, as a SQLite file of its own."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from django.db import DEFAULT_DB_ALIAS, connections, transaction
from django.utils.translation import gettext as _

from studio.backups.copying import PASSING, copy_all
from studio.backups.sides import bring_up_like, file_beside
from studio.backups.trouble import BackupTrouble

WAIT_SECONDS = 30
# SQLite's words for a file that is whole but cannot be had now.
OUT_OF_REACH = frozenset(
    (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM)
)


def live_file() -> Path | None:
    """The SQLite file the studio lives in; None when it lives in PostgreSQL."""
    if connections[DEFAULT_DB_ALIAS].vendor != "sqlite":
        return None
    return Path(connections[DEFAULT_DB_ALIAS].settings_dict["NAME"])


def take(path: Path) -> None:
    """Write what has been committed by now to `path`, checked. Nobody has to stop writing."""
    live = live_file()
    if live is None:
        _from_postgresql(path)
    else:
        with closing(opened(live, "rw")) as connection:
            connection.execute("VACUUM INTO ?", [str(path)])
    with closing(opened(path, "rw")) as connection:
        connection.execute("PRAGMA secure_delete=ON")
        for table in PASSING & set(_tables(connection)):
            connection.execute(f'DELETE FROM "{table}"')  # noqa: S608 (a name of ours)
    check(path)


def _from_postgresql(path: Path) -> None:
    with file_beside(path) as alias:
        known = bring_up_like(alias, DEFAULT_DB_ALIAS)
        with transaction.atomic():
            with connections[DEFAULT_DB_ALIAS].cursor() as cursor:
                if not connections[DEFAULT_DB_ALIAS].savepoint_ids:  # the outermost: may be set
                    # no words: SQL
                    cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
            copy_all(DEFAULT_DB_ALIAS, alias, known)


def check(path: Path) -> None:
    """Refuse a file that is no sound SQLite database, or that brings code of its own."""
    damaged = _("{file} is damaged: {why}")
    try:
        with closing(opened(path)) as connection:
            found = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
            if found != "ok":
                raise BackupTrouble(damaged.format(file=path.name, why=found))
            if connection.execute("PRAGMA foreign_key_check").fetchone():
                said = _("{file} is damaged: a row points to one that is missing.")
                raise BackupTrouble(said.format(file=path.name))
            own_code = "SELECT count(*) FROM sqlite_master WHERE type IN ('trigger', 'view')"
            if connection.execute(own_code).fetchone()[0]:
                said = _("{file} was not made by this program.")
                raise BackupTrouble(said.format(file=path.name))
    except sqlite3.DatabaseError as error:
        raise BackupTrouble(damaged.format(file=path.name, why=f"{error}.")) from error


def is_damaged(path: Path) -> bool:
    """Whether the file itself is no good; one that another program holds may well be."""
    try:
        check(path)
    except BackupTrouble as trouble:
        cause = trouble.__cause__
        code = cause.sqlite_errorcode if isinstance(cause, sqlite3.DatabaseError) else 0
        return code & 0xFF not in OUT_OF_REACH
    return False


def counts_in(path: Path) -> dict[str, int]:
    """Rows of each kept table."""
    with closing(opened(path)) as connection:
        return {
            table: connection.execute(f'SELECT count(*) FROM "{table}"').fetchone()[0]  # noqa: S608
            for table in _tables(connection)
            if table not in PASSING
        }


def migrations_in(path: Path) -> frozenset[str]:
    with closing(opened(path)) as connection:
        if "django_migrations" not in _tables(connection):
            return frozenset()
        rows = connection.execute("SELECT app, name FROM django_migrations").fetchall()
    return frozenset(f"{app}.{name}" for app, name in rows)


def opened(path: Path, mode: str = "ro") -> sqlite3.Connection:
    """A connection past Django's, which may be inside a transaction; `mode` is SQLite's."""
    address = f"{path.absolute().as_uri()}?mode={mode}"
    return sqlite3.connect(address, uri=True, timeout=WAIT_SECONDS, isolation_level=None)


def _tables(connection: sqlite3.Connection) -> list[str]:
    found = connection.execute(
        "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
    )
    return sorted(name for (name,) in found if '"' not in name)
