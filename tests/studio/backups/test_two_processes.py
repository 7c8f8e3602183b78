"""Two processes serve one data folder and look for the daily backup at the same moment."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from studio.backups.keeping import NAME
from studio.running.bootstrap import BASE
from studio.running.checks import clean_environment
from tests.studio.backups import earlier
from tests.studio.backups.test_commands import manage

# Slow enough that the second looks while the first is at it.
LOOKS = """
import json, sys, time
import django
django.setup()
from studio.backups import archive, keeping
write = archive.write
def slowly(*args):
    time.sleep(3)
    write(*args)
archive.write = slowly
print("ready", flush=True)
sys.stdin.readline()
made = keeping.make_if_due()
print(json.dumps(made and made.name), flush=True)
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = earlier.data_folder(tmp_path / "data")
    assert manage(folder, "upgrade").returncode == 0
    for backup in backups(folder):
        backup.unlink()
    return folder


def backups(folder: Path) -> list[Path]:
    return [path for path in (folder / "backups").iterdir() if NAME.fullmatch(path.name)]


def test_one_makes_it_and_the_other_leaves_it_to_her(folder: Path) -> None:
    looking = [
        subprocess.Popen(
            [sys.executable, "-c", LOOKS],
            cwd=BASE,
            env=clean_environment(str(folder)),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    for each in looking:
        assert each.stdout
        assert each.stdout.readline() == "ready\n"
    for each in looking:
        assert each.stdin
        each.stdin.write("go\n")
        each.stdin.flush()
    said = [json.loads(each.communicate(timeout=120)[0]) for each in looking]
    assert [path.name for path in backups(folder)] == [name for name in said if name]
    assert said.count(None) == 1
