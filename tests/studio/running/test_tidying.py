"""A file of empty pages is written anew after its tables changed; hindered, it harms no row."""

from __future__ import annotations

import logging
import shutil
import sqlite3
from collections import namedtuple
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from studio.backups import sides
from studio.running import environment
from studio.running.tidying import give_back_room
from tests.studio.backups import earlier
from tests.studio.backups.test_commands import manage

pytestmark = pytest.mark.django_db
Usage = namedtuple("Usage", "total used free")


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A database of a megabyte, as the program opens its own."""
    file = tmp_path / "some.sqlite3"
    with closing(sqlite3.connect(file)) as made:
        made.execute("PRAGMA journal_mode=WAL")
        made.execute("CREATE TABLE kept (id INTEGER PRIMARY KEY, words TEXT)")
        made.executemany("INSERT INTO kept (words) VALUES (?)", [("x" * 1000,)] * 1000)
        made.commit()
    return file


@pytest.fixture
def there(file: Path) -> Iterator[BaseDatabaseWrapper]:
    with sides.beside(environment.sqlite(file)) as alias:
        yield connections[alias]


def thrown_away(file: Path, rows: int) -> None:
    with closing(sqlite3.connect(file)) as made:
        made.execute("DELETE FROM kept WHERE id <= ?", [rows])
        made.commit()


def rows(file: Path) -> int:
    with closing(sqlite3.connect(file)) as made:
        assert made.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        return int(made.execute("SELECT count(*) FROM kept").fetchone()[0])


def test_a_file_with_a_quarter_of_empty_pages_is_written_anew(
    file: Path, there: BaseDatabaseWrapper
) -> None:
    thrown_away(file, 300)
    before = file.stat().st_size
    assert give_back_room(there)
    assert file.stat().st_size < before * 0.75
    assert rows(file) == 700
    with there.cursor() as cursor:
        cursor.execute("PRAGMA journal_mode")
        assert cursor.fetchone()[0] == "wal"
    assert not give_back_room(there)


def test_a_fuller_one_is_left_alone(file: Path, there: BaseDatabaseWrapper) -> None:
    thrown_away(file, 150)
    before = file.stat().st_size
    assert not give_back_room(there)
    assert (file.stat().st_size, rows(file)) == (before, 850)


def test_without_twice_the_room_on_the_disk_it_is_left_alone(
    file: Path, there: BaseDatabaseWrapper, monkeypatch: pytest.MonkeyPatch
) -> None:
    thrown_away(file, 900)
    size = file.stat().st_size
    free = {file.parent: 2 * size - 1}
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: Usage(0, 0, free[folder]))
    assert not give_back_room(there)
    free[file.parent] += 1
    assert give_back_room(there)


def test_a_refusal_is_told_and_harms_nothing(
    file: Path, there: BaseDatabaseWrapper, caplog: pytest.LogCaptureFixture
) -> None:
    thrown_away(file, 900)
    with there.cursor() as cursor:
        cursor.execute("PRAGMA busy_timeout = 50")
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with caplog.at_level(logging.WARNING):
            assert not give_back_room(there)
        other.execute("ROLLBACK")
    assert "keeps its empty pages, which harms nothing: database is locked" in caplog.text
    assert rows(file) == 100
    assert give_back_room(there)


def test_on_a_disk_that_cannot_be_asked(
    file: Path, there: BaseDatabaseWrapper, monkeypatch: pytest.MonkeyPatch
) -> None:
    thrown_away(file, 900)

    def fails(folder: Path) -> Usage:
        raise PermissionError(folder)

    monkeypatch.setattr(shutil, "disk_usage", fails)
    assert not give_back_room(there)


def test_postgresql_is_asked_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    class Elsewhere:
        vendor = "postgresql"

    assert not give_back_room(Elsewhere())  # type: ignore[arg-type]


def test_an_earlier_studio_is_smaller_after_an_upgrade(tmp_path: Path) -> None:
    folder = earlier.data_folder(tmp_path / "data")
    live = folder / "studio.sqlite3"
    said = manage(folder, "upgrade")
    assert said.returncode == 0, said.stderr
    with closing(sqlite3.connect(live)) as made:
        pages, empty = (
            made.execute(f"PRAGMA {n}").fetchone()[0] for n in ("page_count", "freelist_count")
        )
    assert empty * 4 < pages
    assert earlier.rows(live, "SELECT count(*) AS n FROM practice_item") == [{"n": 901}]
