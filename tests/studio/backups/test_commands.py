"""The commands as a person types them, on folders of their own with the real migrations."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from studio.running import presence
from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment

STUDIO = """
from studio.models import *
from django.contrib.auth.models import User
owner = User.objects.create_user("marisol@example.org", password="five strings minus one")
studio = Studio.objects.create(owner=owner, name="Achterberg", teacher="M", zone="Europe/Lisbon")
family = Family.objects.create(studio=studio, name="Łucja & Şebnem Đức")
Student.objects.create(family=family, given_name="Imani", started="2026-09-01")
Student.objects.create(family=family, given_name="Bảo", family_name="Châu", started="2026-09-01")
"""
MANAGE = "import sys; from studio.running.start import _django; from studio.running.trouble import \
Trouble\ntry: _django(sys.argv)\nexcept Trouble as told: sys.exit(str(told))"
Said = subprocess.CompletedProcess[str]


def manage(folder: Path, *arguments: str, said: str = "", **variables: str) -> Said:
    environment = clean_environment(str(folder)) | variables
    command = [sys.executable, "-c", MANAGE, *arguments]
    return subprocess.run(
        command, cwd=BASE, env=environment, input=said, capture_output=True, text=True, check=False
    )


def names(database: Path) -> list[str]:
    with closing(sqlite3.connect(database)) as connection:
        rows = connection.execute("SELECT given_name FROM studio_student ORDER BY id")
        return [name for (name,) in rows]


def change(folder: Path, statement: str) -> None:
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
        connection.execute(statement)
        connection.commit()


def lose_a_student(folder: Path) -> None:
    change(folder, "DELETE FROM studio_sizeheld WHERE student_id = 1")
    change(folder, "DELETE FROM studio_student WHERE given_name = 'Imani'")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A studio of two children, made once; and one backup of it."""
    folder = tmp_path_factory.mktemp("made") / "data"
    for arguments in (["migrate", "-v0"], ["shell", "-v0", "-c", STUDIO], ["backup"]):
        said = manage(folder, *arguments)
        assert said.returncode == 0, said.stderr
    return folder


@pytest.fixture
def folder(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "data"))


def backup_of(folder: Path) -> str:
    return next((folder / "backups").glob("*-by-hand.zip")).name


def test_nothing_is_restored_before_it_is_agreed_to(folder: Path) -> None:
    lose_a_student(folder)
    said = manage(folder, "restore", backup_of(folder), said="no\n")
    assert re.search(r"students +1 +2\n", said.stdout)
    assert "Nothing was changed." in said.stdout
    assert names(folder / "studio.sqlite3") == ["Bảo"]
    said = manage(folder, "restore", backup_of(folder), said="yes\n")
    assert "The backup is in place." in said.stdout
    assert names(folder / "studio.sqlite3") == ["Imani", "Bảo"]
    way_back = re.search(r"manage.py restore (\S+)", said.stdout)
    assert way_back
    assert manage(folder, "restore", way_back[1], "--yes").returncode == 0
    assert names(folder / "studio.sqlite3") == ["Bảo"]


@pytest.mark.skipif(os.name != "posix", reason="modes of POSIX")
def test_what_is_written_is_its_owners_alone(tmp_path: Path) -> None:
    """Also in a folder that was there before, open to everybody."""
    folder = tmp_path / "data"
    folder.mkdir(mode=0o755)
    folder.chmod(0o755)
    assert manage(folder, "migrate", "-v0").returncode == 0
    assert stat.S_IMODE((folder / "studio.sqlite3").stat().st_mode) == 0o600


def test_it_refuses_while_the_studio_is_open(folder: Path) -> None:
    lose_a_student(folder)
    with presence.at_work(folder):
        said = manage(folder, "restore", backup_of(folder), "--yes")
    assert said.returncode == 1
    assert "is open. Close it with Ctrl+C" in said.stderr
    assert names(folder / "studio.sqlite3") == ["Bảo"]


@pytest.mark.parametrize("damage", ["no database", "torn"])
def test_a_damaged_database_is_put_aside_whole(folder: Path, damage: str) -> None:
    live = folder / "studio.sqlite3"
    content = bytearray(live.read_bytes())
    if damage == "no database":
        content[:100] = b"x" * 100
    else:
        content[4096 : len(content) // 2] = bytes(len(content) // 2 - 4096)
    live.write_bytes(content)
    said = manage(folder, "restore", backup_of(folder), "--yes")
    assert said.returncode == 0, said.stderr
    assert "was put aside" in said.stdout
    assert names(live) == ["Imani", "Bảo"]
    aside = [path for path in folder.glob("damaged-*") if path.name.endswith(".sqlite3")]
    assert [path.read_bytes() for path in aside] == [content]


def test_an_empty_folder_takes_a_studio_from_another_computer(made: Path, tmp_path: Path) -> None:
    new = tmp_path / "new"
    said = manage(new, "restore", str(made / "backups" / backup_of(made)), "--yes")
    assert said.returncode == 0, said.stderr
    assert names(new / "studio.sqlite3") == ["Imani", "Bảo"]
    assert (new / "secret-key").read_text() == (made / "secret-key").read_text()


def test_an_older_one_is_brought_up_to_this_version(folder: Path) -> None:
    older = folder.parent / "older"
    shutil.copytree(folder, older)
    assert manage(older, "migrate", "practice", "zero", "-v0").returncode == 0
    said = manage(older, "backup", str(folder / "old.zip"))
    assert said.returncode == 0, said.stderr
    said = manage(folder, "restore", str(folder / "old.zip"), "--yes")
    assert "will be brought up to this one" in said.stdout, said.stderr
    assert names(folder / "studio.sqlite3") == ["Imani", "Bảo"]
    assert manage(folder, "migrate", "--check").returncode == 0
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
        assert connection.execute("SELECT count(*) FROM practice_plan").fetchone() == (0,)


def test_a_newer_one_is_refused(folder: Path) -> None:
    newer = folder.parent / "newer"
    shutil.copytree(folder, newer)
    change(newer, "INSERT INTO django_migrations (app, name, applied) "
                  "VALUES ('studio', '9999_of_tomorrow', '2030-01-01')")  # fmt: skip
    assert manage(newer, "backup", str(folder / "new.zip")).returncode == 0
    said = manage(folder, "restore", str(folder / "new.zip"), "--yes")
    assert said.returncode == 1
    assert "newer version of the program (studio.9999_of_tomorrow)" in said.stderr


def test_to_another_file_and_back(folder: Path, tmp_path: Path) -> None:
    there = tmp_path / "there.sqlite3"
    said = manage(folder, "move_to", f"sqlite:///{there}")
    assert said.returncode == 0, said.stderr
    assert re.search(r"studio_student +2 +[0-9a-f]{16}\n", said.stdout)
    assert "the same on both sides" in said.stdout
    assert names(there) == ["Imani", "Bảo"]
    again = manage(folder, "move_to", f"sqlite:///{there}")
    assert again.returncode == 1
    assert "holds a studio already" in again.stderr
    same = manage(folder, "move_to", f"sqlite:///{folder / 'studio.sqlite3'}")
    assert "in that database already" in same.stderr


@pytest.mark.parametrize("address", ["mysql://host/name", "there.sqlite3", "postgres://"])
def test_an_address_that_is_none_is_told(folder: Path, address: str) -> None:
    said = manage(folder, "move_to", address)
    assert said.returncode == 1
    assert "it must look like" in said.stderr


@pytest.mark.skipif(
    not os.environ.get("STUDIO_DATABASE_URL", "").startswith("postgres"),
    reason="needs PostgreSQL",
)
def test_to_postgresql_and_back(folder: Path, tmp_path: Path) -> None:
    """The sums must survive two changes of database."""
    import psycopg

    name = f"moved_{os.getpid()}"
    with psycopg.connect("dbname=postgres", autocommit=True) as server:
        server.execute(f"CREATE DATABASE {name}".encode())
    there = f"postgres:///{name}"
    first = manage(folder, "move_to", there)
    assert first.returncode == 0, first.stderr
    later = manage(
        folder, "shell", "-v0", "-c", STUDIO.replace("marisol", "per"), STUDIO_DATABASE_URL=there
    )
    assert later.returncode == 0, later.stderr  # new keys follow the highest there is
    said = manage(
        folder, "move_to", f"sqlite:///{tmp_path / 'back.sqlite3'}", STUDIO_DATABASE_URL=there
    )
    assert said.returncode == 0, said.stderr
    assert names(tmp_path / "back.sqlite3") == ["Imani", "Bảo"] * 2
