"""A database that cannot be had now is told apart from one that is no good."""

from __future__ import annotations

import errno
import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command

from studio.backups import keeping, restoring, snapshot
from studio.backups.trouble import BackupTrouble
from studio.models import Student


@pytest.fixture
def live(tmp_path: Path, data_dir: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A file of some pages in the studio's place."""
    path = tmp_path / "studio.sqlite3"
    with closing(sqlite3.connect(path)) as one:
        one.execute("PRAGMA journal_mode=WAL")
        one.execute("CREATE TABLE t (x)")
        one.executemany("INSERT INTO t VALUES (?)", [["x" * 900]] * 200)
        one.commit()
    monkeypatch.setattr(snapshot, "live_file", lambda: path)
    monkeypatch.setattr(snapshot, "WAIT_SECONDS", 0.05)
    return path


@contextmanager
def held(path: Path) -> Iterator[None]:
    """As by a viewer or a copying program that lets nobody else in."""
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("PRAGMA locking_mode=EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        yield


def tear(path: Path) -> None:
    content = bytearray(path.read_bytes())
    content[4096:40960] = b"\xa5" * (40960 - 4096)
    path.write_bytes(content)


def test_what_another_program_holds_is_not_damaged(live: Path) -> None:
    assert not snapshot.is_damaged(live)
    with held(live):
        assert not snapshot.is_damaged(live)
    tear(live)
    assert snapshot.is_damaged(live)


def test_a_restore_puts_nothing_aside_that_another_program_holds(live: Path) -> None:
    with held(live), pytest.raises(BackupTrouble, match="database is locked"):
        restoring._keep_first()
    assert live.exists()
    assert list(live.parent.glob("damaged-*")) == []


def test_a_damaged_file_is_told_whatever_the_copying_says(live: Path) -> None:
    """Seen with pages overwritten at random: SQLite says that it cannot open the copy."""
    said = sqlite3.OperationalError("unable to open database: new.sqlite3")
    with pytest.raises(BackupTrouble, match=r"cannot be read: unable to open"), keeping.told():
        raise said
    tear(live)
    with pytest.raises(BackupTrouble, match=r"is damaged, so no backup"), keeping.told():
        raise said


@pytest.mark.django_db(transaction=True)
def test_a_restore_into_a_write_protected_folder_is_told(
    filled: Student, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup = keeping.make(keeping.Why.BY_HAND)

    def refused(**where: Any) -> None:
        raise OSError(errno.EROFS, os.strerror(errno.EROFS), str(where["dir"]))

    monkeypatch.setattr(tempfile, "TemporaryDirectory", refused)
    with pytest.raises(BackupTrouble, match="cannot be written"):
        call_command("restore", backup.name, "--yes")
