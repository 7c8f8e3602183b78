"""Nothing is put in place under a running server, and a killed one holds nothing."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from studio.running import presence
from studio.running.bootstrap import BASE
from studio.running.presence import AtWork
from studio.running.trouble import Trouble

HOLDS = (
    "import sys, time; from pathlib import Path; from studio.running import presence;"
    "presence.enter(Path(sys.argv[1])); print('in', flush=True); time.sleep(60)"
)


def test_alone_waits_for_nobody(tmp_path: Path) -> None:
    with presence.alone(tmp_path):
        pass
    with presence.alone(tmp_path):
        pass


def test_a_server_keeps_others_from_being_alone(tmp_path: Path) -> None:
    with (
        presence.at_work(tmp_path),
        pytest.raises(AtWork, match="is open. Close it"),
        presence.alone(tmp_path),
    ):
        pytest.fail("was let in")
    with presence.alone(tmp_path):
        pass


def test_no_server_starts_meanwhile(tmp_path: Path) -> None:
    with presence.alone(tmp_path), pytest.raises(AtWork, match="Start again in a moment"):
        presence.enter(tmp_path)


@pytest.mark.parametrize("content", [None, b"no database at all, but long enough to look" * 9])
def test_a_lock_that_cannot_be_used_is_told(tmp_path: Path, content: bytes | None) -> None:
    path = tmp_path / presence.NAME
    path.write_bytes(content) if content else path.mkdir()
    with pytest.raises(Trouble, match="at-work cannot be used"), presence.at_work(tmp_path):
        pytest.fail("was let in")
    with pytest.raises(Trouble, match="at-work cannot be used"), presence.alone(tmp_path):
        pytest.fail("was let in")


def test_several_processes_may_serve_and_a_killed_one_lets_go(tmp_path: Path) -> None:
    command = [sys.executable, "-c", HOLDS, str(tmp_path)]
    with subprocess.Popen(command, cwd=BASE, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout
        assert other.stdout.readline() == "in\n"
        with presence.at_work(tmp_path):
            pass
        with pytest.raises(AtWork), presence.alone(tmp_path):
            pytest.fail("was let in")
        other.kill()
        other.wait()
    with presence.alone(tmp_path):
        pass


def test_one_is_first_and_a_killed_one_holds_nothing(tmp_path: Path) -> None:
    code = (
        "import sys, time; from pathlib import Path; from studio.running import presence;"
        "held = presence.first(Path(sys.argv[1]), 'a thing'); print(held.__enter__(), flush=True);"
        "time.sleep(60)"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", code, str(tmp_path)], cwd=BASE, stdout=subprocess.PIPE, text=True
    )
    assert other.stdout
    assert other.stdout.readline() == "True\n"
    with presence.first(tmp_path, "a thing") as held:
        assert not held
    with presence.first(tmp_path, "another thing") as held:
        assert held
    other.kill()
    other.communicate()
    with presence.first(tmp_path, "a thing") as held:
        assert held
