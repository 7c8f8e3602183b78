"""The server is killed in the middle of a job and started again: every page comes once."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import time
import urllib.request
import zipfile
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pypdf

from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.studio.running.test_serving import free_port

STUDENTS = 14
LONGEST = 240  # seconds, on a machine that does much else
MODULE = [sys.executable, "-m", "tests.practice.printing.server"]


class Apart:
    """A data folder with its database, looked at from outside."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        settings = "tests.practice.printing.apart"
        self.environment = {
            **clean_environment(str(folder)),
            "DJANGO_SETTINGS_MODULE": settings,
            "PYTHONPATH": str(BASE),
        }
        command = [*MODULE, "fill", str(STUDENTS)]
        subprocess.run(command, cwd=BASE, env=self.environment, check=True)

    def ask(self, question: str) -> list[tuple[str | int, ...]]:
        with closing(sqlite3.connect(self.folder / "studio.sqlite3", timeout=20)) as connection:
            return connection.execute(question).fetchall()

    @property
    def drawn(self) -> int:
        (row,) = self.ask("select count(*) from practice_printpart where drawn")
        return int(row[0])

    @property
    def state(self) -> str:
        (row,) = self.ask("select state from practice_printjob")
        return str(row[0])

    @property
    def worker(self) -> str:
        (row,) = self.ask("select worker from practice_printjob")
        return str(row[0])

    @contextmanager
    def served(self) -> Iterator[subprocess.Popen[str]]:
        """The server, after its first request; killed at the end if it is there still."""
        port = free_port()
        with subprocess.Popen(
            [*MODULE, "serve", str(port)],
            cwd=BASE,
            env=self.environment,
            stdout=subprocess.PIPE,
            text=True,
        ) as server:
            try:
                assert server.stdout
                assert server.stdout.readline() == "listening\n"
                with urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/") as answer:
                    assert answer.status == 200
                yield server
            finally:
                server.kill()


def wait_until(happened: Callable[[], bool]) -> None:
    ends = time.monotonic() + LONGEST
    while not happened():
        assert time.monotonic() < ends
        time.sleep(0.05)


def test_a_job_outlives_its_server(tmp_path: Path) -> None:
    apart = Apart(tmp_path / "data")
    with apart.served() as server:
        wait_until(lambda: apart.drawn >= 3)
        server.kill()  # SIGKILL: nothing is tidied up
        server.wait()
    before, first = apart.drawn, apart.worker
    assert 3 <= before < STUDENTS
    assert apart.state == "working"
    with apart.served():
        wait_until(lambda: apart.state == "ready")
    assert apart.worker != first
    (folder,) = (tmp_path / "data" / "printing").iterdir()
    names = [f"Imani{chr(ord('a') + number)}" for number in range(STUDENTS)]
    pages = pypdf.PdfReader(folder / "all.pdf").pages
    found = [page.extract_text().split("’s term")[0] for page in pages]
    assert sorted(found) == names
    with zipfile.ZipFile(folder / "single-files.zip") as single:
        assert len(single.namelist()) == len(set(single.namelist())) == STUDENTS
