"""The program as a teacher runs it: a process of its own, from an empty folder, twice."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.parse import urlencode

import pytest

from studio.running.bootstrap import BASE
from tests.studio.running.test_serving import free_port

ANSWERS = {
    "name": "Quill Street Violins",
    "teacher": "Châu",
    "zone": "Asia/Kathmandu",
    "locale": "en",
    "paper": "A4",
    "clock_24h": "yes",
    "week_start": "0",
    "email": "chau@example.org",
    "password": "rosin and two pegs",
    "password_again": "rosin and two pegs",
}


@contextmanager
def opened(data: Path, port: int, *arguments: str) -> Iterator[subprocess.Popen[str]]:
    """`manage.py open` until the block ends; then it must close by itself when asked politely."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith("STUDIO_")}
    server = subprocess.Popen(
        [sys.executable, "manage.py", "open", "--port", str(port), *arguments],
        cwd=BASE,
        env=kept | {"STUDIO_DATA": str(data), "DJANGO_SETTINGS_MODULE": "studio.settings"},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    )
    try:
        yield server
    finally:
        server.terminate()
        said, _ = server.communicate(timeout=30)
        assert server.returncode == 0, said
        assert said.endswith("The studio is closed.\n"), said


def wait_until_open(server: subprocess.Popen[str]) -> str:
    """What it said until the line that tells how to close it."""
    assert server.stdout
    said = ""
    for line in server.stdout:
        said += line
        if "Ctrl+C closes it." in line:
            return said
    raise AssertionError(said)


@pytest.mark.skipif(sys.platform == "win32", reason="ends the server by a POSIX signal")
def test_a_teacher_opens_her_studio_and_is_still_in_after_a_restart(tmp_path: Path) -> None:
    data, port = tmp_path / "data", free_port()
    visitor = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(CookieJar()))
    settings = f"http://127.0.0.1:{port}/settings/"
    with opened(data, port) as server:
        assert "The database is ready." in wait_until_open(server)
        with visitor.open(settings) as page:
            assert page.url == f"http://127.0.0.1:{port}/first-run/"
            token = re.search(r'csrfmiddlewaretoken" value="(\w+)"', page.read().decode())
        assert token
        sent = urlencode(ANSWERS | {"csrfmiddlewaretoken": token[1]}).encode()
        visitor.open(page.url, sent).close()
    with opened(data, port) as server:
        assert "The database is ready." not in wait_until_open(server)
        with visitor.open(settings) as page:
            assert page.url == settings
            assert "Quill Street Violins" in page.read().decode()
