"""Errors as SQLite and the system really raise them, sorted into words."""

from __future__ import annotations

import errno
import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest
from django.db import IntegrityError, InterfaceError, OperationalError

from studio.running.faults import Fault, fault_of


def locked(path: Path) -> None:
    with closing(sqlite3.connect(path)) as one, closing(sqlite3.connect(path, timeout=0)) as two:
        one.execute("BEGIN EXCLUSIVE")
        two.execute("CREATE TABLE t (x)")


def full(path: Path) -> None:
    with closing(sqlite3.connect(path)) as one:
        one.execute("CREATE TABLE t (x)")
        one.execute("PRAGMA max_page_count=2")
        one.execute("INSERT INTO t VALUES (?)", ["x" * 100_000])


def read_only(path: Path) -> None:
    sqlite3.connect(path).close()
    path.touch()
    with closing(sqlite3.connect(f"{path.as_uri()}?mode=ro", uri=True)) as one:
        one.execute("CREATE TABLE t (x)")


def no_database(path: Path) -> None:
    path.write_bytes(b"a shopping list, nothing else" * 100)
    with closing(sqlite3.connect(path)) as one:
        one.execute("SELECT * FROM sqlite_master")


def torn(path: Path) -> None:
    with closing(sqlite3.connect(path)) as one:
        one.execute("CREATE TABLE t (x)")
        one.executemany("INSERT INTO t VALUES (?)", [["x" * 900]] * 200)
        one.commit()
    content = bytearray(path.read_bytes())
    content[4096:40960] = b"\xa5" * (40960 - 4096)
    path.write_bytes(content)
    with closing(sqlite3.connect(path)) as one:
        one.execute("SELECT count(*), max(x) FROM t").fetchall()


def gone(path: Path) -> None:
    sqlite3.connect(path / "no folder" / "x")


@pytest.mark.parametrize(
    ("provoke", "fault"),
    [
        (locked, Fault.BUSY),
        (full, Fault.FULL),
        (read_only, Fault.READ_ONLY),
        (no_database, Fault.DAMAGED),
        (torn, Fault.DAMAGED),
        (gone, Fault.AWAY),
    ],
)
def test_what_sqlite_says(tmp_path: Path, provoke: Callable[[Path], None], fault: Fault) -> None:
    with pytest.raises(sqlite3.DatabaseError) as raised:
        provoke(tmp_path / "x.sqlite3")
    assert fault_of(raised.value) is fault
    assert fault_of(OperationalError(str(raised.value))) is fault


@pytest.mark.parametrize(
    ("number", "fault"),
    [
        (errno.ENOSPC, Fault.FULL),
        (errno.EROFS, Fault.READ_ONLY),
        (errno.EACCES, Fault.READ_ONLY),
        (errno.ENOENT, None),
    ],
)
def test_what_the_system_says(number: int, fault: Fault | None) -> None:
    assert fault_of(OSError(number, os.strerror(number))) is fault


def test_a_server_that_is_gone() -> None:
    """The words of libpq, from memory."""
    refused = 'connection to server at "127.0.0.1", port 5432 failed: Connection refused'
    assert fault_of(OperationalError(refused)) is Fault.AWAY
    assert fault_of(InterfaceError("connection already closed")) is Fault.AWAY


@pytest.mark.parametrize(
    "ours",
    [
        None,
        ValueError("disk is full"),
        IntegrityError("CHECK constraint failed: family_shared_time_in_order"),
        OperationalError("no such table: studio_lesson"),
    ],
)
def test_a_mistake_of_the_program_is_no_fault_of_the_disk(ours: Exception | None) -> None:
    assert fault_of(ours) is None
