"""Several processes write one log file and turn it: no line is lost or torn."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from studio.running.bootstrap import BASE

EACH, WRITERS = 1500, 3
WRITES = """
import logging, sys
from pathlib import Path
from studio.running import logs
logs.LARGEST, logs.KEPT = 60_000, 50
who, folder, many = sys.argv[1], Path(sys.argv[2]), int(sys.argv[3])
handler = logs.PrivateFile(folder / "studio.log")
handler.setFormatter(logs.PrivateFormatter())
print("ready", flush=True)
sys.stdin.readline()
for n in range(many):
    text = f"{who} {n} {'.' * 100}"
    handler.handle(logging.LogRecord("x", logging.ERROR, "", 0, text, (), None))
handler.close()
"""
LINE = re.compile(r"ERROR x: (\w+) (\d+) \.{100}")


@pytest.mark.skipif(sys.platform == "win32", reason="there an open file cannot be renamed")
def test_every_line_of_each_is_there_once(tmp_path: Path) -> None:
    writers = [
        subprocess.Popen(
            [sys.executable, "-c", WRITES, who, str(tmp_path), str(EACH)],
            cwd=BASE,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for who in ("one", "two", "three")[:WRITERS]
    ]
    for writer in writers:
        assert writer.stdout
        assert writer.stdout.readline() == "ready\n"
    for writer in writers:
        assert writer.stdin
        writer.stdin.write("go\n")
        writer.stdin.flush()
    for writer in writers:
        writer.communicate(timeout=120)
        assert writer.returncode == 0
    files = sorted(tmp_path.glob("studio.log*"), key=lambda path: -number(path))
    told = [LINE.search(line) for path in files for line in path.read_text().splitlines()]
    assert None not in told
    for who in ("one", "two", "three"):
        numbers = [int(line[2]) for line in told if line and line[1] == who]
        assert sorted(numbers) == list(range(EACH))
    # Turned when it was full, not by each process for itself: no file is a stub.
    whole = [path.stat().st_size for path in files if number(path)]
    assert len(whole) > 5
    assert min(whole) > 50_000


def number(path: Path) -> int:
    return int(path.suffix[1:]) if path.suffix != ".log" else 0
