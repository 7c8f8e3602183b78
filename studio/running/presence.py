"""Who is at work on a data folder, so that nothing is put in its place under a running server.

A small SQLite file is the lock: SQLite locks alike on every system, and the system lets go of the
lock when the process ends, however it ends.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from studio.running import data_folder
from studio.running.trouble import Trouble

NAME = "at-work"
_held: dict[Path, sqlite3.Connection] = {}


class AtWork(Trouble):
    """The folder is in use; the text says what to do."""


def enter(folder: Path) -> None:
    """Say that this process serves the folder, until it ends; several processes may."""
    if folder in _held:
        return
    lock = _open(folder)
    try:
        lock.execute("BEGIN")
        lock.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.OperationalError:
        lock.close()
        raise AtWork(f"A backup is being put into {folder}. Start again in a moment.") from None
    _held[folder] = lock


@contextmanager
def at_work(folder: Path) -> Iterator[None]:
    """The same for as long as a `with` lasts."""
    enter(folder)
    try:
        yield
    finally:
        _held.pop(folder).close()


@contextmanager
def alone(folder: Path) -> Iterator[None]:
    """Hold the folder against every server while something is put in its place."""
    with closing(_open(folder)) as lock:
        try:
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.OperationalError:
            raise AtWork(
                f"The studio in {folder} is open. Close it with Ctrl+C where it runs, then repeat."
            ) from None
        yield


def _open(folder: Path) -> sqlite3.Connection:
    data_folder.make(folder)
    return sqlite3.connect(
        folder / NAME, timeout=0.2, isolation_level=None, check_same_thread=False
    )
