"""What a watcher of the program learns, and what it does not."""

from __future__ import annotations

import os
import shutil
import sqlite3
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import pytest
from django.db import connection
from django.test import Client

from studio.backups import health, keeping
from studio.backups.keeping import Why
from tests.conftest import FrozenClock

if TYPE_CHECKING:
    from pytest_django import Settings

    from studio.models import Student


class Usage(NamedTuple):
    """As shutil tells it."""

    total: int
    used: int
    free: int


pytestmark = pytest.mark.django_db(transaction=True)
PAGE = "/health/"


@pytest.fixture(autouse=True)
def data(settings: Settings, tmp_path: Path) -> Path:
    settings.DATA_DIR = tmp_path
    return tmp_path


def test_it_works_and_says_nothing_about_anybody(client: Client, student: Student) -> None:
    keeping.make(Why.DAILY)
    answer = client.get(PAGE)
    assert answer.status_code == 200
    assert answer.json() == {"database": "ok", "folder": "ok", "backup": "ok"}
    assert "no-store" in answer.headers["Cache-Control"]


def test_the_age_of_the_last_backup(client: Client, student: Student, frozen: FrozenClock) -> None:
    assert client.get(PAGE).json()["backup"] == "none yet"
    keeping.make(Why.DAILY)
    frozen.move(days=2)
    assert client.get(PAGE).json()["backup"] == "ok"
    frozen.move(hours=1)
    answer = client.get(PAGE)
    assert (answer.status_code, answer.json()["backup"]) == (200, "old")


def test_a_backup_of_a_day_to_come_hides_no_old_one(
    client: Client, student: Student, frozen: FrozenClock
) -> None:
    """The clock was wrong and is set back."""
    keeping.make(Why.DAILY)
    frozen.move(days=400)
    keeping.make(Why.DAILY)
    frozen.move(days=-390)
    assert client.get(PAGE).json()["backup"] == "old"


def test_an_empty_installation_is_well(client: Client) -> None:
    assert client.get(PAGE).json()["backup"] == "nothing to keep yet"


@pytest.mark.skipif(connection.vendor != "sqlite", reason="about the file SQLite keeps")
def test_a_database_that_cannot_be_used(client: Client, tmp_path: Path) -> None:
    live = connection.settings_dict["NAME"]
    connection.close()
    (tmp_path / "torn.sqlite3").write_bytes(b"no database" * 1000)
    connection.settings_dict["NAME"] = tmp_path / "torn.sqlite3"
    try:
        answer = client.get(PAGE)
    finally:
        connection.close()
        connection.settings_dict["NAME"] = live
    assert answer.status_code == 503
    assert answer.json() == {"database": "damaged", "folder": "ok"}


@pytest.mark.skipif(connection.vendor != "sqlite", reason="about the file SQLite keeps")
def test_tables_that_are_not_there_yet(client: Client, tmp_path: Path) -> None:
    live = connection.settings_dict["NAME"]
    connection.close()
    sqlite3.connect(tmp_path / "empty.sqlite3").close()
    connection.settings_dict["NAME"] = tmp_path / "empty.sqlite3"
    try:
        assert client.get(PAGE).json()["database"] == "not ready"
    finally:
        connection.close()
        connection.settings_dict["NAME"] = live


def test_a_folder_that_is_gone(client: Client, settings: Settings, tmp_path: Path) -> None:
    settings.DATA_DIR = tmp_path / "unplugged"
    answer = client.get(PAGE)
    assert (answer.status_code, answer.json()["folder"]) == (503, "not writable")


def test_a_disk_without_room(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages can still be read then, but nobody signs in and nothing is kept."""
    assert client.get(PAGE).json()["folder"] == "ok"
    total, used, _ = shutil.disk_usage("/")
    for free, told, status in (
        (health.LEAST_FREE, "ok", 200),
        (health.LEAST_FREE - 1, "full", 503),
    ):
        monkeypatch.setattr(shutil, "disk_usage", lambda path, free=free: Usage(total, used, free))
        answer = client.get(PAGE)
        assert (answer.status_code, answer.json()["folder"]) == (status, told)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="about the file SQLite keeps")
def test_a_database_that_can_only_be_read(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    may = os.access
    live = Path(connection.settings_dict["NAME"])
    monkeypatch.setattr(os, "access", lambda path, how: may(path, how) and Path(path) != live)
    answer = client.get(PAGE)
    assert (answer.status_code, answer.json()["database"]) == (503, "read_only")


def test_behind_https_it_is_still_asked_on_this_computer(
    client: Client, settings: Settings
) -> None:
    settings.SECURE_SSL_REDIRECT = True
    assert client.get(PAGE).status_code == 200
    assert client.get("/sign-in/").status_code == 301


def test_only_reading_is_allowed(client: Client) -> None:
    assert client.post(PAGE).status_code == 405
