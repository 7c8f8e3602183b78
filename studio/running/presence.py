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
    busy = f"A backup is being put into {folder}. Start again in a moment."
    lock = _open(folder)
    try:
        _begin(lock, folder, "BEGIN", busy)
    except Trouble:
        lock.close()
        raise
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
    busy = f"The studio in {folder} is open. Close it with Ctrl+C where it runs, then repeat."
    with closing(_open(folder)) as lock:
        _begin(lock, folder, "BEGIN EXCLUSIVE", busy)
        yield


@contextmanager
def first(folder: Path, name: str) -> Iterator[bool]:
    """Whether no other process is at what `name` stands for; held for as long as a `with` lasts."""
    with closing(_open(folder, name)) as lock:
        try:
            _begin(lock, folder, "BEGIN EXCLUSIVE", name)
        except AtWork:
            held = False
        else:
            held = True
        yield held


def _open(folder: Path, name: str = NAME) -> sqlite3.Connection:
    data_folder.make(folder)
    try:
        return sqlite3.connect(
            folder / name, timeout=0.2, isolation_level=None, check_same_thread=False
        )
    except sqlite3.OperationalError as error:
        raise _trouble(folder, error) from error


def _begin(lock: sqlite3.Connection, folder: Path, how: str, busy: str) -> None:
    try:
        lock.execute(how)
        lock.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.DatabaseError as error:
        if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
            raise AtWork(busy) from None
        raise _trouble(folder, error) from error


def _trouble(folder: Path, error: sqlite3.DatabaseError) -> Trouble:
    return Trouble(
        f"{folder / NAME} cannot be used: {error}. Is the disk full or write-protected? "
        "Nothing is lost by deleting that file."
    )
