"""Take the disk away from a running server, and from a start, and read what it says.

    sudo python -m tests.bench.faults        needs Linux and the right to mount

On a small disk of its own: full, write-protected, locked by another program for longer than the
program waits, and overwritten in the middle. Nothing acknowledged may be lost, everything else must
be told in words.
"""

from __future__ import annotations

import contextlib
import http.client
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from urllib.parse import urlencode

from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.bench.kill_server import COOKIE, SERVE, Tally
from tests.studio.backups.test_commands import STUDIO, manage
from tests.studio.running.test_serving import free_port

DISK = "32m"
LONGER_THAN_IT_WAITS = 40


def send(port: int, tally: Tally, name: str) -> tuple[int, str]:
    """Add one guardian; the status and what the page says in bold."""
    token = "x" * 32
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=LONGER_THAN_IT_WAITS)
    with closing(connection):
        connection.request(
            "POST",
            f"/families/{tally.family}/guardians/add/",
            urlencode({"name": name, "relation": "aunt"}),
            {
                "Cookie": f"sessionid={tally.session}; csrftoken={token}",
                "X-CSRFToken": token,
                "Content-Type": "application/x-www-form-urlencoded",
            },
        )
        answer = connection.getresponse()
        page = answer.read().decode()
    if answer.status == http.HTTPStatus.FOUND:
        tally.acknowledged.append(name)
    kept = f'value="{name}"' in page
    said = page.partition("<p><b>")[2].partition("</b>")[0]
    return answer.status, f"{said}{' (typed text is on the page)' if kept else ''}"


@contextmanager
def serving(folder: Path) -> Iterator[int]:
    port = free_port()
    command = [sys.executable, "-c", SERVE, "open", "--port", str(port)]
    with subprocess.Popen(
        command,
        cwd=BASE,
        env=clean_environment(str(folder)),
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ) as server:
        assert server.stdout
        while "Ctrl+C" not in (line := server.stdout.readline()):
            assert line, "the server did not start"
        try:
            yield port
        finally:
            server.terminate()


def begun(folder: Path) -> str:
    """What a start says; it may also open, when nothing has to be written."""
    try:
        said = subprocess.run(
            [sys.executable, "manage.py", "open", "--port", str(free_port())],
            cwd=BASE,
            env=clean_environment(str(folder)),
            capture_output=True,
            text=True,
            timeout=LONGER_THAN_IT_WAITS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return "it opened"
    return f"{said.returncode} {said.stderr.strip()}"


@contextmanager
def full(folder: Path) -> Iterator[None]:
    filler = folder.parent / "filler"
    with filler.open("wb", buffering=0) as file, contextlib.suppress(OSError):
        while file.write(b"x" * 4096):
            pass
    yield
    filler.unlink()


@contextmanager
def write_protected(folder: Path) -> Iterator[None]:
    """A file system with a file open for writing refuses to turn; its files are turned instead."""
    files = [path for path in folder.rglob("*") if path.is_file()]
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    turned = subprocess.run(["mount", "-o", "remount,ro", folder.parent], check=False)
    if turned.returncode:
        subprocess.run(["chattr", "+i", *files], check=False)
    yield
    subprocess.run(["mount", "-o", "remount,rw", folder.parent], check=False)
    if turned.returncode:
        subprocess.run(["chattr", "-i", *files], check=False)


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    with closing(sqlite3.connect(folder / "studio.sqlite3", isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield


@contextmanager
def overwritten(folder: Path) -> Iterator[None]:
    live = folder / "studio.sqlite3"
    with closing(sqlite3.connect(live)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    whole = live.read_bytes()
    with live.open("r+b") as file:
        file.seek(4096)
        file.write(b"\xa5" * (len(whole) - 4096))
    yield
    with live.open("r+b") as file:
        file.write(whole)


def main() -> int:
    lost = 0
    with tempfile.TemporaryDirectory(prefix="studio-faults-") as made:
        subprocess.run(["mount", "-t", "tmpfs", "-o", f"size={DISK}", "tmpfs", made], check=True)
        try:
            folder = Path(made) / "data"
            for arguments in (["migrate", "-v0"], ["shell", "-v0", "-c", STUDIO], ["backup"]):
                assert manage(folder, *arguments).returncode == 0
            session, family = manage(folder, "shell", "-v0", "-c", COOKIE).stdout.split()
            tally = Tally(session, int(family))
            for fault in (full, write_protected, locked, overwritten):
                with serving(folder) as port:
                    assert send(port, tally, f"before {fault.__name__}")[0] == 302
                    with fault(folder):
                        print(f"{fault.__name__}, serving:", *send(port, tally, fault.__name__))
                    if fault is not overwritten:
                        print("  afterwards:", *send(port, tally, f"after {fault.__name__}"))
                with fault(folder):
                    print(f"{fault.__name__}, at the start:", begun(folder))
            with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
                rows = connection.execute("SELECT name FROM studio_guardian").fetchall()
            lost = len(set(tally.acknowledged) - {name for (name,) in rows})
            print(f"{len(tally.acknowledged)} acknowledged, {lost} lost")
        finally:
            subprocess.run(["umount", "-l", made], check=False)
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
