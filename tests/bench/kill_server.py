"""Kill the server in the middle of writing, again and again, and look for what it had acknowledged.

    python -m tests.bench.kill_server --kills 200

Twenty writers add guardians through the real pages; a write counts as acknowledged when its
redirect has come back. After every kill the database must be sound and hold each of them.
"""

from __future__ import annotations

import argparse
import http.client
import os
import random
import sqlite3
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import closing
from dataclasses import dataclass, field
from pathlib import Path
from urllib.parse import urlencode

from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.studio.backups.test_commands import STUDIO, manage
from tests.studio.running.test_serving import free_port

WRITERS = 20
LONGEST_START = 60
SERVE = "import sys; from studio.running.start import _django; _django(sys.argv)"
COOKIE = """
from django.contrib.auth import SESSION_KEY, BACKEND_SESSION_KEY, HASH_SESSION_KEY
from django.contrib.auth.models import User
from studio.access.sessions import SessionStore
owner, session = User.objects.get(), SessionStore()
session[SESSION_KEY] = str(owner.pk)
session[BACKEND_SESSION_KEY] = "studio.access.backend.TeacherBackend"
session[HASH_SESSION_KEY] = owner.get_session_auth_hash()
session.create()
print(session.session_key, owner.studio.families.get().pk)
"""


@dataclass
class Tally:
    session: str
    family: int
    acknowledged: list[str] = field(default_factory=list)
    refused: dict[int, int] = field(default_factory=dict)


def write(port: int, tally: Tally, name: str) -> bool:
    """Add one guardian; whether the server acknowledged it."""
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
    token = "x" * 32
    headers = {
        "Cookie": f"sessionid={tally.session}; csrftoken={token}",
        "X-CSRFToken": token,
        "Content-Type": "application/x-www-form-urlencoded",
    }
    try:
        connection.request(
            "POST",
            f"/families/{tally.family}/guardians/add/",
            urlencode({"name": name, "relation": "aunt"}),
            headers,
        )
        answer = connection.getresponse()
    except (OSError, http.client.HTTPException):
        return False
    finally:
        connection.close()
    status, to = answer.status, answer.getheader("Location", "")
    assert "/sign-in/" not in to, "the session is not known"
    if status != http.HTTPStatus.FOUND:
        tally.refused[status] = tally.refused.get(status, 0) + 1
    return status == http.HTTPStatus.FOUND


def keep_writing(port: int, tally: Tally, who: str, stop: threading.Event) -> None:
    number = 0
    while not stop.is_set():
        number += 1
        if write(port, tally, f"{who}.{number}"):
            tally.acknowledged.append(f"{who}.{number}")
        else:
            time.sleep(0.05)


def one_kill(folder: Path, tally: Tally, number: int, wait: float) -> None:
    port, stop = free_port(), threading.Event()
    command = [sys.executable, "-c", SERVE, "open", "--port", str(port)]
    environment = clean_environment(str(folder))
    with subprocess.Popen(
        command, cwd=BASE, env=environment, stdout=subprocess.PIPE, text=True
    ) as server:
        assert server.stdout
        while "Ctrl+C" not in (line := server.stdout.readline()):
            assert line, "the server did not start"
        while not write(port, tally, f"{number} begins"):
            assert server.poll() is None
        tally.acknowledged.append(f"{number} begins")
        writers = [
            threading.Thread(target=keep_writing, args=(port, tally, f"{number}.{who}", stop))
            for who in range(WRITERS)
        ]
        for writer in writers:
            writer.start()
        time.sleep(wait)
        server.kill()
        server.wait()
        stop.set()
        for writer in writers:
            writer.join(LONGEST_START)


def lost(folder: Path, tally: Tally) -> int:
    """How many acknowledged writes are not there; ends the run when the database is not sound."""
    with closing(sqlite3.connect(folder / "studio.sqlite3")) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        kept = {name for (name,) in connection.execute("SELECT name FROM studio_guardian")}
    return len(set(tally.acknowledged) - kept)


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=10)
    kills: int = parser.parse_args().kills
    chance = random.Random(os.environ.get("SEED", "1"))
    with tempfile.TemporaryDirectory(prefix="studio-kill-") as made:
        folder = Path(made) / "data"
        for arguments in (["migrate", "-v0"], ["shell", "-v0", "-c", STUDIO]):
            assert manage(folder, *arguments).returncode == 0
        session, family = manage(folder, "shell", "-v0", "-c", COOKIE).stdout.split()
        tally = Tally(session, int(family))
        missing = 0
        for number in range(kills):
            one_kill(folder, tally, number, chance.uniform(0.3, 2.5))
            missing = lost(folder, tally)
            if missing:
                break
    print(
        f"{number + 1} kills, {len(tally.acknowledged)} acknowledged writes, {missing} lost, "
        f"answers other than the redirect: {tally.refused or 'none'}"
    )
    return 1 if missing or not tally.acknowledged else 0


if __name__ == "__main__":
    sys.exit(main())
