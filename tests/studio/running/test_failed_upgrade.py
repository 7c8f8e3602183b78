"""An upgrade that fails after its first change of the tables gives the studio back as it was."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from studio.running import upgrade
from studio.running.bootstrap import BASE
from studio.running.upgrade import UpgradeTrouble
from tests.studio.backups.test_commands import MANAGE, STUDIO

LAST = max(path.stem for path in (BASE / "studio" / "migrations").glob("0*.py"))
# Changes that an earlier version cannot overlook: a column that must be filled, a table that holds
# on to another, and for `renames` a column that is gone under its name.
FIRST = """
from django.db import migrations, models

class Migration(migrations.Migration):
    dependencies = [("studio", {last!r})]
    operations = [
        migrations.AddField("family", "rooms", models.IntegerField(default=3)),
        migrations.CreateModel("Instrument", [
            ("id", models.BigAutoField(primary_key=True)),
            ("family", models.ForeignKey("studio.Family", models.CASCADE)),
        ]),
        migrations.RunSQL("INSERT INTO studio_instrument (family_id) SELECT id FROM studio_family"),
        {more}
    ]
"""
SECOND = """
from django.db import migrations

def fails(apps, editor):
    raise ValueError("a row nobody thought of")

class Migration(migrations.Migration):
    dependencies = [("studio", "9001_first")]
    operations = [migrations.RunPython(fails)]
"""
RENAMES = 'migrations.RenameField("student", "given_name", "called"),'


def program(folder: Path) -> Path:
    """This version, without the packages' own folder; its `manage.py` skips setting those up."""
    leave = shutil.ignore_patterns("__pycache__", "fonts", "*.mo")
    for name in ("studio", "practice", "templates", "static", ".locks"):
        shutil.copytree(BASE / name, folder / name, ignore=leave)
    shutil.copy(BASE / "pyproject.toml", folder)
    (folder / "manage.py").write_text(MANAGE)
    return folder


def newer(folder: Path, more: str = "", second: str = SECOND) -> Path:
    new = program(folder)
    migrations = new / "studio" / "migrations"
    (migrations / "9001_first.py").write_text(FIRST.format(last=LAST, more=more))
    (migrations / "9002_second.py").write_text(second)
    return new


def url() -> str:
    """Where the studio is, when it is not in a file."""
    return os.environ.get("STUDIO_DATABASE_URL", "")


@pytest.fixture(params=["sqlite", "postgres"])
def there(
    request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Path]:
    """A version in a folder of its own with a studio in its database."""
    if request.param == "postgres" and not url().startswith("postgres"):
        pytest.skip("needs PostgreSQL")
    base, name = tmp_path / "program", f"failed_{os.getpid()}_{abs(hash(tmp_path))}"
    monkeypatch.setenv("STUDIO_DATA", str(base / ".data"))
    monkeypatch.delenv("STUDIO_DATABASE_URL", raising=False)
    monkeypatch.delenv("DJANGO_SETTINGS_MODULE")
    if request.param == "postgres":
        on_server(f"CREATE DATABASE {name}")
        monkeypatch.setenv("STUDIO_DATABASE_URL", f"postgres:///{name}")
    program(base)
    (base / ".data").mkdir()
    manage(base, "migrate", "--verbosity=0")
    manage(base, "shell", said=STUDIO)
    yield base
    if request.param == "postgres":
        on_server(f"DROP DATABASE {name}")


def on_server(statement: str) -> None:
    import psycopg

    with psycopg.connect("dbname=postgres", autocommit=True) as server:
        server.execute(statement.encode())


def manage(
    base: Path, *arguments: str, said: str = "", fails: bool = False
) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, str(base / "manage.py"), *arguments]
    done = subprocess.run(
        command, cwd=base, input=said, capture_output=True, text=True, check=False
    )
    assert bool(done.returncode) == fails, done.stdout + done.stderr
    return done


def asked(base: Path, statement: str) -> list[tuple[Any, ...]]:
    """Past the program, of whatever tables there are."""
    if url():
        import psycopg

        with psycopg.connect(f"dbname={url().rpartition('/')[2]}") as server:
            return server.execute(statement.encode()).fetchall()
    with closing(sqlite3.connect(base / ".data" / "studio.sqlite3")) as connection:
        return connection.execute(statement).fetchall()


def check_as_before(base: Path) -> None:
    """Every row and table is what it was, and it is written in again."""
    students = "SELECT id, given_name, family_name FROM studio_student ORDER BY id"
    assert asked(base, students) == [(1, "Imani", ""), (2, "Bảo", "Châu")]
    assert asked(base, "SELECT count(*) FROM django_migrations WHERE name LIKE '9%'") == [(0,)]
    for newer in ("SELECT rooms FROM studio_family", "SELECT id FROM studio_instrument"):
        with pytest.raises(Exception, match=r"no such|does not exist"):
            asked(base, newer)
    manage(base, "shell", said=MORE)
    assert asked(base, "SELECT max(id) FROM studio_student") == [(3,)]
    assert "already" in manage(base, "upgrade").stdout


MORE = """
from studio.models import *
Student.objects.create(family=Family.objects.get(), given_name="Aoife", started="2026-09-01")
"""


@pytest.mark.parametrize("more", ["", RENAMES], ids=["adds", "renames"])
def test_it_gives_the_studio_back(
    there: Path, tmp_path: Path, more: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(UpgradeTrouble, match="the studio as it was. Nothing is lost"):
        upgrade.run(newer(tmp_path / "new", more), there, sys.executable)
    assert "a row nobody thought of" in capsys.readouterr().err
    check_as_before(there)


def test_done_by_hand_each_step_says_what_there_is_and_the_way_back(
    there: Path, tmp_path: Path
) -> None:
    """New files over the old ones, then without them again."""
    shutil.copytree(newer(tmp_path / "new"), there, dirs_exist_ok=True)
    said = manage(there, "upgrade", fails=True).stderr
    assert "could not be changed to those of this version: a row nobody thought of" in said
    kept = next((there / ".data" / "backups").glob("*-before-upgrade.zip")).name
    assert f"Nothing is lost: the backup {kept} was made just before." in said
    assert said.rstrip().endswith(f"python3 manage.py restore {kept}")
    for number in (1, 2):
        next((there / "studio" / "migrations").glob(f"900{number}*.py")).unlink()
    said = manage(there, "upgrade", fails=True).stderr
    assert "was changed by a newer version of the program (studio.9001_first)" in said
    manage(there, "restore", kept, "--yes")
    check_as_before(there)
