"""Killed while the tables change, or while a backup is made: the next start finds everything."""

from __future__ import annotations

import shutil
import signal
import sqlite3
import subprocess
import sys
from collections.abc import Mapping
from contextlib import closing
from pathlib import Path

import pytest

from studio.backups.keeping import NAME
from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.studio.backups import earlier as earlier_version
from tests.studio.backups.test_commands import manage, names

# The tables of families and lessons as the first version had them, and none of practice.
FIRST = min(path.stem for path in (BASE / "studio" / "migrations").glob("0*.py"))
EARLIER = {"auth": "", "sessions": "", "contenttypes": "", "studio": FIRST}
# Runs the start's own upgrade and dies at a chosen place: after so many steps, or inside one.
DIES = """
import os, signal, sys
import django
django.setup()
from django.db.backends.base.schema import BaseDatabaseSchemaEditor as Editor
from django.db.migrations.executor import MigrationExecutor as Executor
from django.db.models import Model
from studio.backups import keeping
from studio.running import first_start
place, number, seen = sys.argv[1], int(sys.argv[2]), []
def end(*args):
    os.kill(os.getpid(), signal.SIGKILL)
def counted(kind, method):
    def inner(self, *args, **more):
        seen.append(1)
        return end() if len(seen) > number else method(self, *args, **more)
    setattr(kind, method.__name__, inner)
if place == "between":
    counted(Executor, Executor.apply_migration)
if place == "within":
    counted(Editor, Editor.execute)
if place == "rows":
    counted(Model, Model.save_base)
if place == "backup":
    keeping.archive.write = end
first_start.prepare_database(keeping.before_upgrade)
"""
USUAL: Mapping[str, object] = {
    "paper": "A4", "locale": "en", "rest_after": 25, "rest_minutes": 5, "a4_hz": 440,
    "growth_limit_percent": 25, "steady_lessons": 2, "status": "learning", "own_link_age": 13,
    "session_1": "After school", "instrument_size": "4/4", "sheet_style": "reader",
}  # fmt: skip


@pytest.fixture(scope="module")
def earlier(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A studio of two children as the first version would have kept it."""
    folder = tmp_path_factory.mktemp("earlier") / "data"
    for app, state in EARLIER.items():
        said = manage(folder, "migrate", app, *filter(None, [state]), "-v0")
        assert said.returncode == 0, said.stderr
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
        insert(connection, "auth_user", {"username": "marisol@example.org", "password": "!"})
        studio = {"owner_id": 1, "name": "Achterberg", "zone": "Europe/Lisbon"}
        insert(connection, "studio_studio", studio)
        insert(connection, "studio_family", {"studio_id": 1, "name": "Łucja & Şebnem"})
        for given in ("Imani", "Bảo"):
            insert(connection, "studio_student", {"family_id": 1, "given_name": given})
        connection.commit()
    return folder


def insert(connection: sqlite3.Connection, table: str, known: Mapping[str, object]) -> None:
    """A row by what the table asks for, whatever this version's models say."""
    row: dict[str, object] = {}
    columns = connection.execute(f"PRAGMA table_info({table})").fetchall()
    for _, name, kind, needed, default, key in columns:
        if name in known or (needed and not key and default is None):
            row[name] = known.get(name, usual(name, kind))
    marks = ", ".join("?" * len(row))
    statement = f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})"
    connection.execute(statement, list(row.values()))


def usual(name: str, kind: str) -> object:
    if name in USUAL:
        return USUAL[name]
    if "date" in kind:
        return "2026-01-12 00:00:00" if "time" in kind else "2026-01-12"
    return 0 if any(word in kind for word in ("int", "bool", "real")) else ""


def killed(folder: Path, place: str, number: int) -> bool:
    command = [sys.executable, "-c", DIES, place, str(number)]
    environment = clean_environment(str(folder))
    done = subprocess.run(command, cwd=BASE, env=environment, capture_output=True, check=False)
    return done.returncode == -signal.SIGKILL


def backups_in(folder: Path) -> list[str]:
    return sorted(path.name for path in (folder / "backups").iterdir() if NAME.fullmatch(path.name))


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
@pytest.mark.parametrize(
    ("place", "number"),
    [("between", 0), ("within", 9), ("backup", 0)],
)
def test_the_next_start_finishes_and_nothing_is_lost(
    earlier: Path, tmp_path: Path, place: str, number: int
) -> None:
    folder = Path(shutil.copytree(earlier, tmp_path / "data"))
    assert killed(folder, place, number)
    assert len(backups_in(folder)) == (0 if place == "backup" else 1)
    said = manage(folder, "upgrade")
    assert said.returncode == 0, said.stderr
    assert "A backup was made" in said.stdout
    assert manage(folder, "migrate", "--check").returncode == 0
    assert names(folder / "studio.sqlite3") == ["Imani", "Bảo"]
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    earliest = backups_in(folder)[0]
    assert manage(folder, "restore", earliest, "--yes").returncode == 0
    assert names(folder / "studio.sqlite3") == ["Imani", "Bảo"]


def test_a_backup_of_the_first_version_is_restored_into_this_one(
    earlier: Path, tmp_path: Path
) -> None:
    old, new = Path(shutil.copytree(earlier, tmp_path / "old")), tmp_path / "new"
    assert manage(old, "backup", str(tmp_path / "old.zip")).returncode == 0
    said = manage(new, "restore", str(tmp_path / "old.zip"), "--yes")
    assert said.returncode == 0, said.stderr
    assert "will be brought up to this one" in said.stdout
    assert names(new / "studio.sqlite3") == ["Imani", "Bảo"]
    assert manage(new, "migrate", "--check").returncode == 0


@pytest.mark.skipif(sys.platform == "win32", reason="needs SIGKILL")
@pytest.mark.parametrize(
    ("place", "number"), [("rows", 15), ("between", 1), ("between", 2), ("within", 25)]
)
def test_a_real_studio_is_brought_up_after_all(tmp_path: Path, place: str, number: int) -> None:
    """Killed while plans are packed, between two steps, while columns go."""
    folder = earlier_version.data_folder(tmp_path / "data")
    before = earlier_version.data_folder(tmp_path / "before") / "studio.sqlite3"
    assert killed(folder, place, number)
    said = manage(folder, "upgrade")
    assert said.returncode == 0, said.stderr
    assert "A backup was made" in said.stdout
    assert earlier_version.differences(before, folder / "studio.sqlite3") == []
    items = "SELECT plan_id AS plan, key, minutes, detail FROM practice_item ORDER BY id"
    wanted = earlier_version.details(earlier_version.rows(before, items))
    assert earlier_version.kept_details(folder / "studio.sqlite3") == wanted
