"""The command line itself, in a process of its own."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from django.db import connection

from studio.running.bootstrap import BASE

# What a start must not pay for, and must work without.
HEAVY = {"weasyprint", "music21", "scipy", "PIL"}
LIST_HEAVY = f"""
import json, sys
import studio.wsgi
from django.urls import get_resolver
get_resolver().url_patterns
print(json.dumps(sorted({HEAVY!r} & set(sys.modules))))
"""
SHOW_SETTINGS = """
import json
from django.conf import settings
names = ["SESSION_COOKIE_SECURE", "CSRF_COOKIE_SECURE", "SECURE_SSL_REDIRECT", "DEBUG"]
print(json.dumps({name: getattr(settings, name) for name in names}))
"""


def python(*arguments: str, data: Path, **variables: str) -> subprocess.CompletedProcess[str]:
    kept = {name: value for name, value in os.environ.items() if not name.startswith("STUDIO_")}
    environment = kept | {"DJANGO_SETTINGS_MODULE": "studio.settings", "STUDIO_DATA": str(data)}
    return subprocess.run(
        [sys.executable, *arguments],
        cwd=BASE,
        env=environment | variables,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )


@pytest.mark.parametrize(
    ("name", "value"),
    [("STUDIO_HTTPS", "perhaps"), ("STUDIO_DATABASE_URL", "mysql://x/y"), ("STUDIO_HOSTS", "a b")],
)
def test_a_bad_variable_stops_the_start_with_one_sentence(
    tmp_path: Path, name: str, value: str
) -> None:
    done = python("manage.py", "check", data=tmp_path, **{name: value})
    assert done.returncode == 2
    assert done.stderr.startswith(f"{name} is set to '{value}', but ")
    assert len(done.stderr.splitlines()) == 1


def test_a_data_folder_that_cannot_be_written_stops_the_start(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    done = python("manage.py", "check", data=tmp_path / "file" / "data")
    assert done.returncode == 2
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr


def test_other_commands_reach_django(tmp_path: Path) -> None:
    done = python("manage.py", "version", data=tmp_path)
    assert done.stdout.startswith("5.2")


def test_a_start_loads_nothing_heavy(tmp_path: Path) -> None:
    """So it is quick, and every page without print works where Pango is missing."""
    done = python("-c", LIST_HEAVY, data=tmp_path)
    assert json.loads(done.stdout or "null") == [], done.stderr


@pytest.mark.parametrize(("value", "expected"), [("yes", True), ("no", False)])
def test_https_makes_every_cookie_secure(tmp_path: Path, value: str, expected: bool) -> None:
    done = python("-c", SHOW_SETTINGS, data=tmp_path, STUDIO_HTTPS=value)
    assert json.loads(done.stdout) == {
        "SESSION_COOKIE_SECURE": expected,
        "CSRF_COOKIE_SECURE": expected,
        "SECURE_SSL_REDIRECT": expected,
        "DEBUG": False,
    }


@pytest.mark.django_db
def test_sqlite_is_set_for_several_writers_and_a_power_cut() -> None:
    """Values of sqlite.org/pragma.html: synchronous 2 is FULL."""
    if connection.vendor != "sqlite":
        assert connection.vendor == "postgresql"
        return
    with connection.cursor() as cursor:
        found = {
            name: cursor.execute(f"PRAGMA {name}").fetchone()[0]
            for name in ("journal_mode", "synchronous", "foreign_keys", "busy_timeout")
        }
    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "busy_timeout": 20_000,
    }
    assert connection.transaction_mode == "IMMEDIATE"  # type: ignore[attr-defined]
