"""A backup goes into the studio's place whole or not at all, and there is a way back."""

from __future__ import annotations

import datetime as dt
import json
import shutil
import sqlite3
import zipfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.db import connections

from studio.backups import archive, copying, keeping, restoring
from studio.backups.keeping import Why
from studio.backups.restoring import Change
from studio.backups.trouble import BackupTrouble
from studio.models import Family, Student
from studio.record.models import RecordEntry, What
from studio.record.noting import note_everywhere
from tests.conftest import FrozenClock
from tests.factories import StudentFactory

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.usefixtures("frozen")]


@pytest.fixture
def backup(filled: Student) -> Path:
    return keeping.make(Why.BY_HAND).path


def test_the_look_says_what_would_change_and_changes_nothing(
    backup: Path, student: Student
) -> None:
    StudentFactory.create_batch(2, family=student.family)
    before = copying.sums("default")
    found = restoring.preview(backup)
    assert found.differing == [Change("students", 3, 1), Change("sizes held", 3, 1)]
    assert Change("log entries", 2, 2) in found.changes
    assert found.studios == 1
    assert not found.other_key
    assert copying.sums("default") == before


def test_everything_is_as_it_was(backup: Path, student: Student) -> None:
    then = copying.sums("default")
    Student.objects.update(given_name="Changed")
    Family.objects.create(studio=student.family.studio, name="Later")
    restoring.restore(backup)
    assert copying.sums("default") == then
    assert Student.objects.get().given_name == "Imani"


def test_and_back_again(backup: Path, student: Student) -> None:
    Student.objects.update(given_name="Changed")
    changed = copying.sums("default")
    safety = restoring.restore(backup)
    assert safety
    assert safety.why == Why.RESTORE
    restoring.restore(safety.path)
    assert copying.sums("default") == changed


def test_new_rows_get_new_keys_afterwards(backup: Path, student: Student) -> None:
    restoring.restore(backup)
    later = StudentFactory.create(family=student.family)
    assert later.pk > student.pk


def test_a_connection_that_was_open_sees_the_change(backup: Path) -> None:
    Student.objects.update(given_name="Changed")
    kept = connections["default"].connection
    restoring.restore(backup)
    assert connections["default"].connection is kept
    assert Student.objects.get().given_name == "Imani"


def test_the_key_comes_with_it(
    backup: Path, data_dir: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    then = settings.SECRET_KEY
    monkeypatch.delenv("STUDIO_SECRET_KEY", raising=False)
    monkeypatch.setattr(settings, "SECRET_KEY", "another-" * 8)
    (data_dir / "secret-key").write_text("another-" * 8)
    assert restoring.preview(backup).other_key
    restoring.restore(backup)
    assert (data_dir / "secret-key").read_text() == then
    assert (data_dir / "secret-key.before-restore").read_text() == "another-" * 8
    assert then == settings.SECRET_KEY


def test_a_key_set_from_outside_stays(
    backup: Path, data_dir: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("STUDIO_SECRET_KEY", "outside-" * 8)
    monkeypatch.setattr(settings, "SECRET_KEY", "outside-" * 8)
    restoring.restore(backup)
    assert not (data_dir / "secret-key").exists()
    assert settings.SECRET_KEY == "outside-" * 8


def repacked(backup: Path, change: Callable[[dict[str, Any], dict[str, bytes]], None]) -> Path:
    """The same zip with another manifest or other parts."""
    with zipfile.ZipFile(backup) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    manifest = json.loads(parts.pop("manifest.json"))
    change(manifest, parts)
    path = backup.with_name("changed.zip")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        new.writestr("manifest.json", json.dumps(manifest))
        for name, content in parts.items():
            new.writestr(name, content)
    return path


def with_database(backup: Path, folder: Path, *statements: str) -> Path:
    """The same backup, honestly packed, with something done to its database."""
    database = folder / "inside.sqlite3"
    manifest, key = archive.unpack(backup, database)
    with closing(sqlite3.connect(database)) as connection:
        for statement in statements:
            connection.execute(statement)
        connection.commit()
    known = {name: getattr(manifest, name) for name in ("made", "studios", "tables", "migrations")}
    path = folder / "changed.zip"
    archive.write(path, database, key, archive.described(database, key, **known))
    return path


def refused(path: Path, words: str) -> None:
    before = copying.sums("default")
    with pytest.raises(BackupTrouble, match=words):
        restoring.restore(path)
    assert copying.sums("default") == before
    assert [backup.why for backup in keeping.all_backups()] == [Why.BY_HAND]


def test_a_changed_byte_is_found(backup: Path) -> None:
    def rot(manifest: dict[str, Any], parts: dict[str, bytes]) -> None:
        *most, last = parts["studio.sqlite3"]
        parts["studio.sqlite3"] = bytes([*most, last ^ 0xFF])

    refused(repacked(backup, rot), "is not what was put into it")


def test_more_than_was_announced_is_not_unpacked(backup: Path, tmp_path: Path) -> None:
    def bomb(manifest: dict[str, Any], parts: dict[str, bytes]) -> None:
        parts["studio.sqlite3"] = bytes(30_000_000)

    path = repacked(backup, bomb)
    refused(path, "is not what was put into it")
    with pytest.raises(BackupTrouble):
        archive.unpack(path, tmp_path / "out")
    assert (tmp_path / "out").stat().st_size < 3_000_000


@pytest.mark.parametrize(
    ("entry", "value", "words"),
    [
        ("format", 2, "made by a newer version"),
        ("format", None, "made by a newer version"),
        ("made", "yesterday", "no backup of a studio"),
        ("tables", [], "no backup of a studio"),
        ("files", {}, "no backup of a studio"),
        ("studios", "some", "no backup of a studio"),
    ],
)
def test_a_manifest_that_says_something_else(
    backup: Path, entry: str, value: object, words: str
) -> None:
    def say(manifest: dict[str, Any], parts: dict[str, bytes]) -> None:
        manifest[entry] = value

    refused(repacked(backup, say), words)


@pytest.mark.parametrize("part", ["studio.sqlite3", "secret-key"])
def test_a_part_that_is_missing(backup: Path, part: str) -> None:
    def lose(manifest: dict[str, Any], parts: dict[str, bytes]) -> None:
        del parts[part]

    refused(repacked(backup, lose), "is missing")


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04", b"words", bytes(1000)])
def test_what_is_no_zip(backup: Path, tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter.zip"
    path.write_bytes(content)
    refused(path, r"letter\.zip")


def test_a_zip_packed_in_another_way(backup: Path, tmp_path: Path) -> None:
    """The unpackers of such ways raise errors of their own for what is broken."""
    path = tmp_path / "other.zip"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_LZMA) as made, zipfile.ZipFile(backup) as good:
        for name in good.namelist():
            made.writestr(name, good.read(name))
    broken = bytearray(path.read_bytes())
    broken[60:80] = bytes(byte ^ 0xFF for byte in broken[60:80])
    path.write_bytes(broken)
    refused(path, "cannot be unpacked")


@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_part_said_to_be_locked(backup: Path, tmp_path: Path, place: int) -> None:
    """The flag that a part is encrypted is bit 0 of byte 8 of its entry (APPNOTE 4.3.12, 4.4.4)."""
    content, at = bytearray(backup.read_bytes()), -1
    for _ in range(place + 1):
        at = content.index(b"PK\x01\x02", at + 1)
    content[at + 8] |= 1
    (tmp_path / "locked.zip").write_bytes(content)
    refused(tmp_path / "locked.zip", r"locked\.zip is ")


def test_a_zip_cut_off_halfway(backup: Path, tmp_path: Path) -> None:
    path = tmp_path / "half.zip"
    path.write_bytes(backup.read_bytes()[: backup.stat().st_size // 2])
    refused(path, r"half\.zip is")


@pytest.mark.parametrize(
    ("statement", "words"),
    [
        ("CREATE TRIGGER t AFTER INSERT ON studio_student BEGIN SELECT 1; END", "not made by this"),
        ("CREATE VIEW v AS SELECT 1", "not made by this"),
        ("UPDATE studio_student SET family_id = 999", "points to one that is missing"),
    ],
)
def test_a_database_that_is_not_ours(
    backup: Path, tmp_path: Path, statement: str, words: str
) -> None:
    refused(with_database(backup, tmp_path, statement), words)


def test_a_database_of_something_else(backup: Path, tmp_path: Path) -> None:
    shutil.copy(backup, tmp_path / "x.zip")
    database = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(database)) as connection:
        connection.execute("CREATE TABLE wine (year)")
        connection.commit()
    made = dt.datetime(2026, 1, 1, tzinfo=dt.UTC)
    manifest = archive.described(
        database, "k" * 60, made, studios=1, tables={}, migrations=frozenset()
    )
    archive.write(tmp_path / "wine.zip", database, "k" * 60, manifest)
    refused(tmp_path / "wine.zip", r"wine\.zip is no backup of a studio")


def test_the_record_goes_on_though_the_clock_was_set_back(
    filled: Student, frozen: FrozenClock
) -> None:
    note_everywhere(What.BACKUP_MADE, "before")
    backup = keeping.make(Why.BY_HAND).path
    frozen.move(days=-400)
    note_everywhere(What.UPGRADED, "after")
    restoring.restore(backup)
    told = RecordEntry.objects.order_by("pk").values_list("what", "detail")
    assert list(told) == [(What.BACKUP_MADE, "before"), (What.UPGRADED, "after")]
