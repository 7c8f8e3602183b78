"""Backups are made, checked, found again, and let go."""

from __future__ import annotations

import datetime as dt
import errno
import os
import sqlite3
import stat
import threading
import time
import zipfile
from contextlib import closing
from pathlib import Path

import pytest
from django.conf import settings
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.db import connections

from studio.access import tickets
from studio.backups import archive, keeping, snapshot
from studio.backups.keeping import Why
from studio.backups.trouble import BackupTrouble
from studio.models import SignInTicket, Student
from tests.conftest import NOON, FrozenClock

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]

on_sqlite = pytest.mark.skipif(
    connections["default"].vendor != "sqlite", reason="about the file SQLite keeps"
)


def test_a_backup_holds_database_key_and_what_is_in_it(filled: Student, tmp_path: Path) -> None:
    backup = keeping.make(Why.BY_HAND)
    assert backup.name == "studio-20261125T120000Z-by-hand.zip"
    manifest, key = archive.unpack(backup.path, tmp_path / "out.sqlite3")
    assert key == settings.SECRET_KEY
    assert manifest.made == NOON
    assert manifest.studios == 1
    assert manifest.tables["studio_student"] == 1
    assert manifest.tables["practice_logentry"] == 2
    with closing(sqlite3.connect(tmp_path / "out.sqlite3")) as found:
        assert found.execute("SELECT given_name FROM studio_student").fetchall() == [("Imani",)]
        assert found.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_only_its_owner_can_read_it(filled: Student) -> None:
    backup = keeping.make(Why.BY_HAND)
    assert stat.S_IMODE(backup.path.stat().st_mode) == 0o600
    assert stat.S_IMODE(keeping.folder().stat().st_mode) == 0o700
    assert [path.name for path in keeping.folder().iterdir()] == [backup.name]


def test_what_would_sign_somebody_in_is_not_in_it(filled: Student, tmp_path: Path) -> None:
    SessionStore().create()
    tickets.issue(filled.family.studio.owner)
    backup = keeping.make(Why.BY_HAND)
    assert Session.objects.count() == SignInTicket.objects.count() == 1
    database = tmp_path / "out.sqlite3"
    archive.unpack(backup.path, database)
    with closing(sqlite3.connect(database)) as found:
        for table in ("django_session", "studio_signinticket", "studio_allowance"):
            assert found.execute(f"SELECT count(*) FROM {table}").fetchone() == (0,)
    session = Session.objects.get()
    assert session.session_key.encode() not in database.read_bytes()


def test_two_of_one_second_get_two_names(filled: Student) -> None:
    first, second = keeping.make(Why.BY_HAND), keeping.make(Why.DAILY)
    assert second.moment - first.moment == dt.timedelta(seconds=1)
    assert [backup.name for backup in keeping.all_backups()] == [second.name, first.name]


@on_sqlite
def test_a_writer_need_not_stop(filled: Student) -> None:
    live = snapshot.live_file()
    assert live
    with closing(snapshot.opened(live, "rw")) as writer:
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("UPDATE studio_student SET given_name = 'Not kept'")
        backup = keeping.make(Why.BY_HAND)
        writer.execute("ROLLBACK")
    assert archive.read_manifest(backup.path).tables["studio_student"] == 1


def test_other_files_of_the_folder_are_left_alone(filled: Student) -> None:
    backup = keeping.make(Why.BY_HAND)
    for name in ("mine.zip", "studio-20261125T120000Z-nonsense.zip", "studio-today-daily.zip"):
        (keeping.folder() / name).write_text("x")
    assert keeping.all_backups() == [backup]
    keeping.thin()
    assert (keeping.folder() / "mine.zip").exists()


@pytest.mark.parametrize("name", ["../secret-key", "mine.zip", "", "/etc/passwd"])
def test_a_name_is_never_a_path(filled: Student, name: str) -> None:
    keeping.make(Why.BY_HAND)
    assert keeping.find(name) is None


def test_a_month_of_days_is_thinned(data_dir: Path, frozen: FrozenClock) -> None:
    keeping.folder().mkdir(parents=True)
    for days in range(30):
        moment = NOON - dt.timedelta(days=days)
        (keeping.folder() / f"studio-{moment:%Y%m%dT%H%M%S}Z-daily.zip").write_bytes(b"x")
    keeping.thin()
    ages = [(NOON - backup.moment).days for backup in keeping.all_backups()]
    # All of two weeks; then the rest of the week of 9 November and the two Sundays before it.
    assert ages == [*range(15), 15, 17, 24]


def test_together_they_stay_small(data_dir: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    keeping.folder().mkdir(parents=True)
    for hour in range(5):
        name = f"studio-20261125T0{hour}0000Z-daily.zip"
        (keeping.folder() / name).write_bytes(b"x" * 10)
    monkeypatch.setattr(keeping, "MOST_TOGETHER", 25)
    keeping.thin()
    assert [backup.moment.hour for backup in keeping.all_backups()] == [4, 3]


def test_what_a_killed_process_left_is_swept(filled: Student, frozen: FrozenClock) -> None:
    left = keeping.folder() / ".unfinished-abc"
    left.mkdir(parents=True)
    (left / "new.sqlite3").write_text("half")
    now = dt.datetime.now(dt.UTC)
    frozen.set(now)
    keeping.make(Why.BY_HAND)
    assert left.exists()
    frozen.set(now + dt.timedelta(days=2))
    keeping.make(Why.BY_HAND)
    assert not left.exists()


def test_one_a_day(filled: Student, frozen: FrozenClock) -> None:
    assert keeping.make_if_due()
    assert keeping.make_if_due() is None
    frozen.move(hours=19)
    assert keeping.make_if_due() is None
    frozen.move(hours=1)
    assert keeping.make_if_due()
    frozen.move(days=-300)  # a clock that was wrong
    assert keeping.make_if_due()
    assert len(keeping.all_backups()) == 3


def test_a_clock_that_was_ahead_neither_stops_backups_nor_takes_their_room(
    filled: Student, frozen: FrozenClock, monkeypatch: pytest.MonkeyPatch
) -> None:
    for _ in range(3):
        keeping.make_if_due()
        frozen.move(days=1)
    real = {backup.name for backup in keeping.all_backups()}
    frozen.move(days=1000)
    early = keeping.make_if_due()
    assert early
    assert real < {backup.name for backup in keeping.all_backups()}
    frozen.move(days=-1000)
    monkeypatch.setattr(keeping, "MOST_TOGETHER", 4 * early.bytes + early.bytes // 2)
    today = keeping.make_if_due()
    assert today
    assert keeping.make_if_due() is None
    frozen.move(days=1)
    tomorrow = keeping.make_if_due()
    assert tomorrow
    there = {backup.name for backup in keeping.all_backups()}
    assert {today.name, tomorrow.name} < there
    assert early.name not in there


def test_without_a_studio_none_is_made(data_dir: Path, db: None) -> None:
    assert keeping.make_if_due() is None


def test_the_background_makes_one_at_once_and_ends_when_told(filled: Student) -> None:
    stop = threading.Event()
    stop.set()
    keeping.keep_daily(stop).join(timeout=30)
    assert [backup.why for backup in keeping.all_backups()] == [Why.DAILY]


def test_trouble_in_the_background_is_logged_and_ends_nothing(
    filled: Student, caplog: pytest.LogCaptureFixture
) -> None:
    keeping.folder().parent.mkdir()
    keeping.folder().write_text("a file where the folder should be")
    stop = threading.Event()
    thread = keeping.keep_daily(stop)
    while "No backup could be made today" not in caplog.text:
        assert thread.is_alive()
        time.sleep(0.02)
    stop.set()
    thread.join(timeout=30)
    assert not thread.is_alive()


def test_before_an_upgrade_there_is_one(filled: Student) -> None:
    backup = keeping.before_upgrade()
    assert backup
    assert backup.why == Why.UPGRADE


def test_a_file_of_choice_is_never_written_over(filled: Student, tmp_path: Path) -> None:
    path = tmp_path / "mine.zip"
    keeping.make_at(path)
    before = path.read_bytes()
    with pytest.raises(BackupTrouble, match=r"mine\.zip exists already"):
        keeping.make_at(path)
    assert path.read_bytes() == before


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_cannot_be_written_is_told(filled: Student, data_dir: Path) -> None:
    data_dir.mkdir(mode=0o500)
    with pytest.raises(BackupTrouble, match="cannot be written"):
        keeping.make(Why.BY_HAND)


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), "is full. Make room"),
        (OSError(errno.EROFS, "Read-only file system", "/data/x"), "/data/x cannot be written"),
        (sqlite3.OperationalError("database or disk is full"), "is full. Make room"),
        (sqlite3.OperationalError("database is locked"), "cannot be read: database is locked"),
        (sqlite3.DatabaseError("database disk image is malformed"), "is damaged"),
        (sqlite3.DatabaseError("file is not a database"), "is damaged"),
    ],
)
def test_what_the_disk_refuses_is_told(data_dir: Path, error: Exception, words: str) -> None:
    with pytest.raises(BackupTrouble, match=words), keeping.told():
        raise error


def test_a_full_disk_leaves_no_half_backup(
    filled: Student, monkeypatch: pytest.MonkeyPatch
) -> None:
    keeping.make(Why.BY_HAND)
    monkeypatch.setattr(archive, "write", _no_room)
    with pytest.raises(BackupTrouble, match="is full"):
        keeping.make(Why.BY_HAND)
    assert len(list(keeping.folder().iterdir())) == 1


def _no_room(path: Path, *rest: object) -> None:
    path.write_bytes(b"PK")
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))


def test_a_zip_that_reads_back_otherwise_is_no_backup(
    filled: Student, monkeypatch: pytest.MonkeyPatch
) -> None:
    original = zipfile.ZipFile.write

    def rotting(self: zipfile.ZipFile, filename: Path, arcname: str) -> None:
        content = filename.read_bytes()
        filename.write_bytes(content[:-1] + bytes([content[-1] ^ 0xFF]))
        original(self, filename, arcname)

    monkeypatch.setattr(zipfile.ZipFile, "write", rotting)
    with pytest.raises(BackupTrouble, match="is not what was put into it"):
        keeping.make(Why.BY_HAND)
    assert keeping.all_backups() == []
