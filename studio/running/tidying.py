"""A SQLite file given back the pages that a change of its tables left empty."""

from __future__ import annotations

import logging
import shutil
from pathlib import Path
from typing import Final

from django.db import DatabaseError
from django.db.backends.base.base import BaseDatabaseWrapper

EMPTY_PART: Final = 4  # a quarter of the file
ROOM: Final = 2  # times the file: what SQLite says a VACUUM may need beside it
log = logging.getLogger(__name__)


def give_back_room(connection: BaseDatabaseWrapper) -> bool:
    """Whether the file was written anew, without its empty pages; PostgreSQL sees to its own.

    Not worth it, no room, or refused: the file stays as it is, which harms nothing.
    """
    if connection.vendor != "sqlite":
        return False
    try:
        pages, empty, bytes_a_page = (
            _pragma(connection, name) for name in ("page_count", "freelist_count", "page_size")
        )
        if not empty or empty * EMPTY_PART < pages:
            return False
        folder = Path(connection.settings_dict["NAME"]).parent
        if shutil.disk_usage(folder).free < ROOM * pages * bytes_a_page:
            return False
        with connection.cursor() as cursor:
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except (DatabaseError, OSError) as error:
        # no words: for the log
        log.warning("The database keeps its empty pages, which harms nothing: %s", error)
        return False
    return True


def _pragma(connection: BaseDatabaseWrapper, name: str) -> int:
    with connection.cursor() as cursor:
        cursor.execute(f"PRAGMA {name}")  # no words: SQL
        return int(cursor.fetchone()[0])
